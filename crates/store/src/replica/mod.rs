//! What a kitchen keeps.

use async_trait::async_trait;
use chablon_model::{Digest, DocumentKey, Moment, RevisionRef};

mod catch_up;
mod error;
mod outbox;
mod revision;

pub use catch_up::{CatchUp, Cursor, Identity, Integrity, NewCheckpoint, NewEntry, Trust};
pub use error::ReplicaError;
pub use outbox::{Outgoing, Said};
pub use revision::{HeldRevision, NewHeldRevision};

use crate::{FeedEntry, Frozen};

/// The store of a kitchen: its view of the feed and all revisions that it needs.
///
/// A catch-up asks what is [missing](ReplicaStore::missing), fetches and
/// [stores](ReplicaStore::put_revisions) it, as often as more comes to light, and then
/// [applies](ReplicaStore::apply) the entries. Whatever was applied is complete: it can be read
/// with the hub out of reach.
///
/// A change is all or nothing, and durable once it is answered. A caller may drop the future of a
/// change at any time: the change then either happened or did not.
#[async_trait]
pub trait ReplicaStore: Send + Sync {
    /// Whose replica this is; none before it is enrolled.
    async fn identity(&self) -> Result<Option<Identity>, ReplicaError>;

    /// Makes this the replica of a site. The same site again changes nothing.
    ///
    /// # Errors
    /// [`ReplicaError::EnrolledElsewhere`].
    async fn enrol(&self, identity: Identity) -> Result<(), ReplicaError>;

    /// Whom the kitchen trusts; none where it takes what its hub shows.
    async fn trust(&self) -> Result<Option<Trust>, ReplicaError>;

    /// Trusts a root: the first, or a later version in the place of the one before. A version that
    /// isn't higher than the one that is trusted changes nothing.
    ///
    /// # Errors
    /// [`ReplicaError::NotEnrolled`], [`ReplicaError::DigestMismatch`].
    async fn trust_root(&self, version: u32, root: Frozen) -> Result<(), ReplicaError>;

    /// How far the kitchen got; none before the first catch-up: then it lists from position 0.
    async fn cursor(&self) -> Result<Option<Cursor>, ReplicaError>;

    /// When the kitchen last knew all that the hub knew.
    async fn last_contact(&self) -> Result<Option<Moment>, ReplicaError>;

    /// Notes that a catch-up reached the end of the feed. An earlier moment than the noted one
    /// changes nothing.
    ///
    /// # Errors
    /// [`ReplicaError::NotEnrolled`].
    async fn caught_up(&self, at: Moment) -> Result<(), ReplicaError>;

    /// What must still be fetched for these revisions to be held with all that they use, sorted.
    ///
    /// What a revision uses is known once it is held itself, so a caller asks again after storing.
    async fn missing(&self, digests: &[Digest]) -> Result<Vec<Digest>, ReplicaError>;

    /// Keeps revisions. Those that are held already are passed over.
    ///
    /// # Errors
    /// [`ReplicaError::DigestMismatch`], and then none is kept.
    async fn put_revisions(&self, revisions: Vec<NewHeldRevision>) -> Result<(), ReplicaError>;

    /// Takes the entries after the cursor, moves the cursor and queues statements about entries.
    ///
    /// Entries that are held already, with the same body, are passed over; the cursor never goes
    /// back. So two catch-ups at once do no harm.
    ///
    /// # Errors
    /// [`ReplicaError::NotEnrolled`], [`ReplicaError::OtherView`], [`ReplicaError::Gap`],
    /// [`ReplicaError::Diverged`], [`ReplicaError::Missing`], [`ReplicaError::UnknownEntry`] for a
    /// statement, [`ReplicaError::DigestMismatch`], [`ReplicaError::Malformed`].
    async fn apply(&self, catch_up: CatchUp) -> Result<(), ReplicaError>;

    /// Forgets all entries and takes these instead: the whole view, listed anew after the epoch or
    /// the site's groups changed. Revisions are kept.
    ///
    /// Under a new epoch, what was said about entries that are still listed is queued once more,
    /// since the hub may have lost it; what was said about others is dropped.
    ///
    /// # Errors
    /// As [`ReplicaStore::apply`], without those about the cursor.
    async fn replace(&self, whole: CatchUp) -> Result<(), ReplicaError>;

    /// All entries, by position.
    async fn entries(&self) -> Result<Vec<FeedEntry>, ReplicaError>;

    /// The entries that release or withdraw a revision of a document: all that decides what of it
    /// is in force.
    async fn history(&self, key: &DocumentKey) -> Result<Vec<FeedEntry>, ReplicaError>;

    /// One revision.
    async fn revision(&self, digest: Digest) -> Result<Option<HeldRevision>, ReplicaError>;

    /// The revisions among these that are held, in the order in which they are asked for.
    async fn revisions(&self, digests: &[Digest]) -> Result<Vec<HeldRevision>, ReplicaError>;

    /// These revisions and all that they use, directly or not, each once and sorted.
    async fn closure(&self, digests: &[Digest]) -> Result<Vec<RevisionRef>, ReplicaError>;

    /// Queues a statement about an entry. What was said before, sent or not, is not said again.
    ///
    /// # Errors
    /// [`ReplicaError::UnknownEntry`].
    async fn say(&self, said: Said) -> Result<(), ReplicaError>;

    /// The oldest statements that were not sent yet.
    async fn outbox(&self, limit: usize) -> Result<Vec<Outgoing>, ReplicaError>;

    /// Notes that statements were sent. Unknown ids are passed over: a view that was listed anew
    /// gives its statements new ones.
    async fn outbox_sent(&self, ids: &[u64]) -> Result<(), ReplicaError>;

    /// Everything that the kitchen said about entries, sent or not, by position and statement.
    async fn said(&self) -> Result<Vec<Said>, ReplicaError>;

    /// Looks through everything: each revision and body against its digest, each entry against the
    /// one before it, and whether all that the entries need is held.
    ///
    /// # Errors
    /// [`ReplicaError::Damaged`]: remove the store, enrol and catch up anew.
    async fn check(&self) -> Result<Integrity, ReplicaError>;
}
