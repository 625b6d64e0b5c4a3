//! What a hub keeps.

use std::num::NonZeroU32;
use std::ops::RangeInclusive;

use async_trait::async_trait;
use chablon_model::{DeviationId, Digest, DocumentKey, ReleaseId, RevisionRef, SiteId, View};
use tokio::sync::watch;

use crate::AccessStore;

mod ack;
mod audit;
mod commit;
mod deviation;
mod draft;
mod error;
mod feed;
mod ground;
mod lot;
mod revision;
mod site;
mod trust;

pub use ack::{Ack, AckFilter, Statement};
pub use audit::{Act, Actor, AuditEntry, AuditLog, AuditRecord};
pub use commit::{
    Committed, Compaction, NewPart, NewRevision, ReleaseCommit, Request, WithdrawalCommit,
};
pub use deviation::{AskCommit, DecisionCommit, StoredDeviation};
pub use draft::{DraftCommit, DraftStep, DraftStore, StoredDraft};
pub use error::HubError;
pub(crate) use error::show;
pub use feed::{EntryKind, FeedEntry, FeedState, Page};
pub use ground::Ground;
pub use lot::{LotCommit, LotFilter, StoredLotNote};
pub(crate) use revision::sees;
pub use revision::{Head, StoredRevision};
pub use site::SiteRecord;
pub use trust::{EntrySignatures, RootCommit, RootRecord, SigningCommit};

/// The store of a hub.
///
/// A change is all or nothing, and durable once it is answered. A caller may drop the future of a
/// change at any time: the change then either happened or did not, and sending the same request
/// again tells which.
#[async_trait]
pub trait HubStore: AccessStore + DraftStore + AuditLog {
    /// The epoch and the last position.
    async fn state(&self) -> Result<FeedState, HubError>;

    /// Stores new revisions and puts revisions in force.
    ///
    /// # Errors
    /// [`HubError::Malformed`] and [`HubError::DigestMismatch`] for a commit that contradicts
    /// itself; [`HubError::RequestIdReused`], [`HubError::ReleaseIdReused`],
    /// [`HubError::Conflict`], [`HubError::MissingPin`], [`HubError::MissingRevision`] for one that
    /// doesn't fit what is stored; [`HubError::UnknownDraft`], [`HubError::DraftChanged`],
    /// [`HubError::DraftState`] for one of a draft that isn't approved as it stands.
    async fn release(&self, commit: ReleaseCommit) -> Result<Committed, HubError>;

    /// Takes a released revision back.
    ///
    /// # Errors
    /// As [`HubStore::release`], and [`HubError::NotReleased`].
    async fn withdraw(&self, commit: WithdrawalCommit) -> Result<Committed, HubError>;

    /// Takes entries out of every site's view, so that those who begin to read have less to read.
    /// The whole view keeps them, and nothing else about them changes. What was taken out stays so.
    ///
    /// Which entries a view can do without is the caller's to say: every view must keep its last one
    /// up to [`Compaction::up_to`], for the next one names it.
    ///
    /// # Errors
    /// [`HubError::Malformed`] where the compaction reaches beyond the feed, or not as far as an
    /// earlier one.
    async fn compact(&self, compaction: Compaction) -> Result<FeedState, HubError>;

    /// Keeps what a site asks. Asked again in the same words, nothing changes.
    ///
    /// # Errors
    /// [`HubError::Malformed`] and [`HubError::DigestMismatch`] for a commit that contradicts
    /// itself; [`HubError::DeviationExists`], [`HubError::UnknownSite`],
    /// [`HubError::MissingRevision`] for one that doesn't fit what is stored.
    async fn ask_deviation(&self, commit: AskCommit) -> Result<(), HubError>;

    /// Puts a decision on a deviation into the feed of its site.
    ///
    /// # Errors
    /// [`HubError::Malformed`] and [`HubError::DigestMismatch`] for a commit that contradicts
    /// itself or what was asked; [`HubError::RequestIdReused`], [`HubError::UnknownDeviation`],
    /// [`HubError::DeviationDecided`].
    async fn decide_deviation(&self, commit: DecisionCommit) -> Result<Committed, HubError>;

    /// One deviation.
    async fn deviation(&self, id: &DeviationId) -> Result<Option<StoredDeviation>, HubError>;

    /// Deviations of a site, or of all, ordered by id, starting after one.
    async fn deviations(
        &self,
        site: Option<&SiteId>,
        after: Option<&DeviationId>,
        limit: NonZeroU32,
    ) -> Result<Vec<StoredDeviation>, HubError>;

    /// The latest revision of each document that the view's reader may see, ordered by the name of
    /// the kind and then by id, starting after a document.
    async fn heads(
        &self,
        view: &View,
        after: Option<&DocumentKey>,
        limit: NonZeroU32,
    ) -> Result<Vec<Head>, HubError>;

    /// The latest root of trust and, of some documents, the latest revision where the view's reader may
    /// see that.
    async fn ground(&self, view: &View, documents: &[DocumentKey]) -> Result<Ground, HubError>;

    /// The revisions among these that are stored, in the order in which they are asked for.
    async fn revisions(&self, digests: &[Digest]) -> Result<Vec<StoredRevision>, HubError>;

    /// These revisions and all that they use, directly or not, each once and sorted.
    async fn closure(&self, digests: &[Digest]) -> Result<Vec<RevisionRef>, HubError>;

    /// The entries of a view after a position, a page of about `limit`.
    ///
    /// A page may hold more: the parts of a release that a view holds are always on one page.
    ///
    /// # Errors
    /// [`HubError::UnknownSite`].
    async fn entries(&self, view: &View, after: u64, limit: NonZeroU32) -> Result<Page, HubError>;

    /// The entries of a view that release or withdraw a revision of a document, or decide on a
    /// deviation from one: all that decides what of it is in force, and how it is made.
    ///
    /// # Errors
    /// [`HubError::UnknownSite`].
    async fn history(&self, view: &View, key: &DocumentKey) -> Result<Vec<FeedEntry>, HubError>;

    /// The positions of a release.
    async fn release_positions(
        &self,
        release: &ReleaseId,
    ) -> Result<Option<RangeInclusive<u64>>, HubError>;

    /// What is known of a site.
    async fn site(&self, site: &SiteId) -> Result<Option<SiteRecord>, HubError>;

    /// What is known of every site, ordered by id.
    async fn sites(&self) -> Result<Vec<SiteRecord>, HubError>;

    /// Keeps what sites say about entries: all of it or, on an error, none.
    ///
    /// What was received stays so from its first moment. Of uses, and of refusals, the latest stays:
    /// see [`Statement::renews`].
    ///
    /// # Errors
    /// [`HubError::UnknownEntry`], [`HubError::EntryMismatch`].
    async fn acknowledge(&self, acks: Vec<Ack>) -> Result<(), HubError>;

    /// What sites said about entries, ordered by position, site and statement.
    async fn acks(&self, filter: &AckFilter) -> Result<Vec<Ack>, HubError>;

    /// Keeps the next version of the root of trust. The very one that is kept already changes
    /// nothing.
    ///
    /// # Errors
    /// [`HubError::RootConflict`], [`HubError::DigestMismatch`].
    async fn add_root(&self, commit: RootCommit) -> Result<(), HubError>;

    /// The versions of the root of trust after one (0: all), in order.
    async fn roots(&self, after: u32) -> Result<Vec<RootRecord>, HubError>;

    /// Puts signatures beside entries, in the place of those that are there: after the keys that
    /// count have changed. All of them or, on an error, none.
    ///
    /// # Errors
    /// [`HubError::UnknownEntry`], [`HubError::EntryMismatch`], [`HubError::Malformed`].
    async fn sign_entries(&self, commit: SigningCommit) -> Result<(), HubError>;

    /// Keeps a note on a lot and gives its number. The same request gets the first answer.
    ///
    /// # Errors
    /// [`HubError::UnknownSite`], [`HubError::RequestIdReused`]. Notes have request ids of their
    /// own: they don't meet those of releases.
    async fn note_lot(&self, commit: LotCommit) -> Result<u64, HubError>;

    /// Notes on lots, ordered by number, starting after one; 0: from the start.
    async fn lot_notes(
        &self,
        filter: &LotFilter,
        after: u64,
        limit: NonZeroU32,
    ) -> Result<Vec<StoredLotNote>, HubError>;

    /// The last position, as a hint that there is something to read.
    ///
    /// A hint only: it may be late or missing (another process may have written), so a reader looks
    /// from time to time regardless.
    fn subscribe(&self) -> watch::Receiver<u64>;
}
