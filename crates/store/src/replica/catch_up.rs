//! What a kitchen takes from its hub.

use chablon_model::{Digest, EntryBody, Moment, SiteId};

use crate::{Epoch, Frozen, Said};

/// Whose replica a store is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Identity {
    /// The site.
    pub site: SiteId,
    /// When it was enrolled.
    pub enrolled_at: Moment,
}

/// How far a kitchen got, and in which feed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cursor {
    /// The history that the position belongs to.
    pub epoch: Epoch,
    /// What the site's view consists of, as [`SiteRecord::view`](crate::SiteRecord::view) says.
    pub view: Digest,
    /// The position up to which everything is held.
    pub position: u64,
}

/// A stretch of a site's view.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CatchUp {
    /// The entries, by position.
    pub entries: Vec<NewEntry>,
    /// How far the kitchen got with them.
    pub cursor: Cursor,
    /// What to say to the hub about entries, these or earlier ones.
    pub said: Vec<Said>,
    /// What the hub signed for the cursor, where the kitchen has pinned a root. It is kept together
    /// with the cursor.
    pub checkpoint: Option<NewCheckpoint>,
}

/// A checkpoint to keep.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewCheckpoint {
    /// Its bytes and signatures, as they came.
    pub frozen: Frozen,
    /// When it was made, as it says.
    pub issued_at: Moment,
}

/// Whom a kitchen trusts, and the newest that was vouched for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trust {
    /// The version of the root.
    pub version: u32,
    /// The root, as it came.
    pub root: Frozen,
    /// The newest checkpoint that was taken, as it came. None: nothing was taken since the root was
    /// pinned.
    pub checkpoint: Option<Frozen>,
}

/// An entry to take.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewEntry {
    /// Its place in the feed, from 1.
    pub position: u64,
    /// The place of the entry before it in the view, 0 for the first.
    pub previous_position: u64,
    /// When the hub took it.
    pub recorded_at: Moment,
    /// What the body says.
    pub says: EntryBody,
    /// The bytes of the manifest or the notice.
    pub body: Frozen,
}

/// What a check looked through and found whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Integrity {
    /// How many revisions are held.
    pub revisions: u64,
    /// How many entries are held.
    pub entries: u64,
}
