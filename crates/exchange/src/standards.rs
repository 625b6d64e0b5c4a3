//! What is in force.

use std::num::NonZeroU32;

use chablon_model::{
    DocumentKey, DocumentKind, Entry, Moment, RevisionRef, SiteId, View, in_force, standings,
};
use chablon_store::StoredRevision;
use chablon_wire::{FeedCursor, InForce, Standard, StandardState};

use crate::read::entries;
use crate::{Exchange, ReadError, StoreFault, blocking};

/// How many entries of a view are read at a time to find what is in force.
const STEP: NonZeroU32 = NonZeroU32::new(1000).unwrap();

/// How many bytes of words a page of several standards may have; one standard may have more.
const PAGE_BYTES: usize = 1024 * 1024;

/// What is in force of one document, with its bytes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Found {
    /// What is in force.
    pub standard: Standard,
    /// The revision in force.
    pub revision: Option<StoredRevision>,
    /// How far the feed was read.
    pub as_of: FeedCursor,
}

/// What is in force of every document of a site's view, as far as a page goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standards {
    /// By kind and then by id.
    pub standards: Vec<Standard>,
    /// Whether there is more after these.
    pub more: bool,
    /// How far the feed was read.
    pub as_of: FeedCursor,
}

/// Which standards are asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandardsQuery {
    /// At which site.
    pub site: SiteId,
    /// Only of this kind.
    pub kind: Option<DocumentKind>,
    /// At which moment.
    pub at: Moment,
    /// Only those after this document.
    pub after: Option<DocumentKey>,
    /// How far the feed was read for the page before.
    pub as_of: Option<FeedCursor>,
    /// How many at most.
    pub limit: NonZeroU32,
}

impl Exchange {
    /// What is in force of one document for a site at a moment.
    pub async fn standard(
        &self,
        site: &SiteId,
        document: &DocumentKey,
        at: Moment,
    ) -> Result<Found, ReadError> {
        let view = View::Site(site.clone());
        let as_of = self.head(&view).await?;
        let Some(standard) = self.standing(&view, document, at, as_of.position).await? else {
            return Err(self.nothing_in_force(site, document, at).await?);
        };
        let revision = match &standard.state {
            StandardState::Stopped(_) => None,
            StandardState::InForce(in_force) => Some(self.stored(&in_force.revision).await?),
        };
        Ok(Found { standard, revision, as_of })
    }

    /// What is in force of every document for a site at a moment.
    pub async fn standards(&self, query: StandardsQuery) -> Result<Standards, ReadError> {
        let view = View::Site(query.site.clone());
        let (all, as_of) = self.view_entries(&view, query.as_of.as_ref()).await?;
        let StandardsQuery { kind, at, after, limit, .. } = query;
        let limit = limit.get() as usize;
        let mut standards = blocking(move || in_force_of_all(&all, at, kind, after.as_ref())).await;
        let page = fitting(&standards).min(limit);
        let more = standards.len() > page;
        standards.truncate(page);
        Ok(Standards { standards, more, as_of })
    }

    /// What of one document is in force by a position of the feed.
    pub(crate) async fn standing(
        &self,
        view: &View,
        document: &DocumentKey,
        at: Moment,
        by: u64,
    ) -> Result<Option<Standard>, ReadError> {
        let mut history = self.store.history(view, document).await?;
        history.retain(|entry| entry.position <= by);
        let history = entries(&history, view)?;
        Ok(Standard::of(document.clone(), &in_force(&history, document, at)))
    }

    /// A revision that something in force names.
    pub(crate) async fn stored(&self, wanted: &RevisionRef) -> Result<StoredRevision, ReadError> {
        let found = self.held(&[wanted.digest]).await?.pop();
        let lost = || StoreFault::Damaged(format!("revision `{}` is gone", wanted.digest));
        Ok(found.ok_or_else(lost)?)
    }

    /// Why nothing is in force: the document isn't there at all, or not yet for this site.
    pub(crate) async fn nothing_in_force(
        &self,
        site: &SiteId,
        document: &DocumentKey,
        at: Moment,
    ) -> Result<ReadError, ReadError> {
        let (site, document) = (site.clone(), document.clone());
        let there = self.has_document(&View::Site(site.clone()), &document).await?;
        Ok(if there {
            ReadError::NotInForce { document, site, at }
        } else {
            ReadError::UnknownDocument(document)
        })
    }

    /// All entries of a view up to a cursor, or to the end.
    pub(crate) async fn view_entries(
        &self,
        view: &View,
        up_to: Option<&FeedCursor>,
    ) -> Result<(Vec<Entry>, FeedCursor), ReadError> {
        let head = self.head(view).await?;
        let as_of = up_to.cloned().unwrap_or_else(|| head.clone());
        let same_history = as_of.epoch == head.epoch && as_of.view == head.view;
        if !same_history || as_of.position > head.position {
            return Err(ReadError::Outdated);
        }
        let mut all = Vec::new();
        let mut end = 0;
        while end < as_of.position {
            let stretch = self.stretch(view, end, STEP).await?;
            if stretch.view != as_of.view {
                return Err(ReadError::Outdated);
            }
            end = stretch.end;
            all.extend(entries(&stretch.entries, view)?);
        }
        all.retain(|entry| entry.position <= as_of.position);
        Ok((all, as_of))
    }
}

/// How many of these fit one answer: the notes and reasons in them may be long.
fn fitting(standards: &[Standard]) -> usize {
    let words = |standard: &Standard| match &standard.state {
        StandardState::Stopped(because) => because.reason.len(),
        StandardState::InForce(InForce { note, because, .. }) => {
            note.len() + because.as_ref().map_or(0, |because| because.reason.len())
        }
    };
    let mut room = PAGE_BYTES;
    let mut fits = |standard: &&Standard| {
        let rest = room.checked_sub(words(standard));
        room = rest.unwrap_or_default();
        rest.is_some()
    };
    standards.iter().take_while(&mut fits).count().max(1)
}

fn in_force_of_all(
    entries: &[Entry],
    at: Moment,
    kind: Option<DocumentKind>,
    after: Option<&DocumentKey>,
) -> Vec<Standard> {
    standings(entries, at)
        .into_iter()
        .filter(|(document, _)| kind.is_none_or(|kind| document.kind == kind))
        .filter(|(document, _)| after.is_none_or(|after| *document > after))
        .filter_map(|(document, standing)| Standard::of(document.clone(), &standing))
        .collect()
}
