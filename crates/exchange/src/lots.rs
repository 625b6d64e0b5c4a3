//! Lots: what kitchens note of them.

use std::num::NonZeroU32;

use chablon_model::{DocumentKey, LotNote, Moment, View};
use chablon_store::{
    Actor, HubError, LotCommit, LotFilter, Request, RequestId, StoredLotNote, digest_of,
};

use crate::{Exchange, ReadError, StoreFault};

/// Why a note isn't kept.
#[derive(Debug, thiserror::Error)]
pub enum LotError {
    /// The site isn't known, or has no such ingredient.
    #[error(transparent)]
    Read(#[from] ReadError),
    /// The request's id was used with other content.
    #[error("request id `{0}` was used with other content; choose a new one")]
    RequestIdReused(RequestId),
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

impl From<HubError> for LotError {
    fn from(error: HubError) -> Self {
        match error {
            HubError::RequestIdReused(request) => Self::RequestIdReused(request),
            other => Self::Read(other.into()),
        }
    }
}

/// Notes on lots, as far as a page goes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LotNotes {
    /// By number.
    pub notes: Vec<StoredLotNote>,
    /// Whether there is more after these.
    pub more: bool,
}

impl Exchange {
    /// Keeps a note on a lot of an ingredient that the site has, and gives its number. The same
    /// request may be sent again; it gets the first answer.
    pub async fn note_lot(
        &self,
        request_id: RequestId,
        note: LotNote,
        by: Option<Actor>,
        now: Moment,
    ) -> Result<u64, LotError> {
        let view = View::Site(note.site.clone());
        self.known(&view).await?;
        let ingredient = DocumentKey::from(&note.ingredient);
        if !self.has_document(&view, &ingredient).await? {
            return Err(ReadError::UnknownDocument(ingredient).into());
        }
        let request = Request { id: request_id, digest: digest_of(content(&note).as_bytes()) };
        let by = by.unwrap_or_else(|| Actor { name: note.author.clone(), role: None });
        Ok(self.store.note_lot(LotCommit { request, at: now, by, note }).await?)
    }

    /// What was noted of lots, by number.
    pub async fn lot_notes(
        &self,
        filter: &LotFilter,
        after: u64,
        limit: NonZeroU32,
    ) -> Result<LotNotes, ReadError> {
        if let Some(site) = &filter.site {
            self.record(site).await?;
        }
        let ahead = limit.saturating_add(1);
        let mut notes = self.store.lot_notes(filter, after, ahead).await?;
        let more = notes.len() > limit.get() as usize;
        notes.truncate(limit.get() as usize);
        Ok(LotNotes { notes, more })
    }
}

/// What makes a request the same: every field on a line of its own, those that may hold a line's
/// end by their length.
fn content(note: &LotNote) -> String {
    let LotNote { site, ingredient, supplier, lot, event, at, author } = note;
    let supplier = supplier.as_ref().map(ToString::to_string).unwrap_or_default();
    let (event, at) = (event.as_str(), at.0);
    let lot = format!("{} {lot}", lot.len());
    format!("lot 1\n{site}\n{ingredient}\n{supplier}\n{lot}\n{event}\n{at}\n{author}")
}
