//! What all that is read has in common.

use chablon_model::{Digest, DocumentKey, Entry, EntryBody, Moment, SiteId, View};
use chablon_store::{EntryKind, FeedEntry, HubError, SiteRecord};
use chablon_trust::Payload;
use chablon_wire::{decode_deviation, decode_manifest, decode_withdrawal};

use crate::{Exchange, StoreFault};

/// Why something isn't shown.
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    /// No released document describes the site.
    #[error("site `{0}` is unknown; release its site document first")]
    UnknownSite(SiteId),
    /// No such document, or not one that the site may read.
    #[error("there is no document `{0}`")]
    UnknownDocument(DocumentKey),
    /// No such revision, or not one that the site may read.
    #[error("there is no revision `{0}`")]
    UnknownRevision(Digest),
    /// No release of the document addresses the site and holds by the moment.
    #[error("nothing of `{document}` is in force at `{site}` by then")]
    NotInForce {
        /// The document.
        document: DocumentKey,
        /// The site.
        site: SiteId,
        /// The moment.
        at: Moment,
    },
    /// What was begun to be listed isn't there any more in that form.
    #[error("the list has changed since its first page; start again without a page token")]
    Outdated,
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

impl From<HubError> for ReadError {
    fn from(error: HubError) -> Self {
        match error {
            HubError::UnknownSite(site) => Self::UnknownSite(site),
            other => Self::Store(StoreFault::of(other)),
        }
    }
}

impl Exchange {
    /// Refuses a site that isn't known.
    pub(crate) async fn known(&self, view: &View) -> Result<(), ReadError> {
        match view {
            View::Site(site) if !self.kept.has_site(&*self.store, site).await? => {
                Err(ReadError::UnknownSite(site.clone()))
            }
            View::Whole | View::Site(_) => Ok(()),
        }
    }

    pub(crate) async fn record(&self, site: &SiteId) -> Result<SiteRecord, ReadError> {
        self.store.site(site).await?.ok_or_else(|| ReadError::UnknownSite(site.clone()))
    }
}

/// What an entry says. It was readable when it was stored.
pub(crate) fn says(entry: &FeedEntry) -> Result<EntryBody, StoreFault> {
    let bytes = &entry.body.bytes;
    let read = match entry.kind {
        EntryKind::Release => decode_manifest(bytes).map(EntryBody::Release),
        EntryKind::Withdrawal => decode_withdrawal(bytes).map(EntryBody::Withdrawal),
        EntryKind::Deviation => decode_deviation(bytes).map(EntryBody::Deviation),
    };
    read.map_err(|error| {
        StoreFault::unreadable(&format!("the entry at position {}", entry.position), &error)
    })
}

/// What the body of an entry is signed as.
pub(crate) fn payload(kind: EntryKind) -> Payload {
    match kind {
        EntryKind::Release => Payload::ReleasePart,
        EntryKind::Withdrawal => Payload::Withdrawal,
        EntryKind::Deviation => Payload::Deviation,
    }
}

/// Entries as a view has them.
pub(crate) fn entries(read: &[FeedEntry], view: &View) -> Result<Vec<Entry>, StoreFault> {
    let entry = |one: &FeedEntry| {
        let entry = Entry { position: one.position, body: says(one)? };
        Ok(entry.in_view(view))
    };
    read.iter().map(entry).collect()
}
