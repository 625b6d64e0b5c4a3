//! The feed: what was released and withdrawn, in order.

use bytes::Bytes;
use chablon_model::{Digest, Entry, EntryBody, Moment, ReleaseId, Signature};
use chablon_wire::{BodyKind, FeedCursor, FeedEntry, Frozen};

use crate::error::Kind;
use crate::figures::ReplicaState;
use crate::{Error, SignedBytes};

/// One entry of the feed: a part of a release, or a withdrawal.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Change {
    /// Its place in the feed, from 1.
    pub position: u64,
    /// The place of the entry before it in the reader's view; 0 if there is none.
    pub previous_position: u64,
    /// When the hub recorded it. What is in force doesn't depend on this.
    pub recorded_at: Moment,
    /// What it says.
    pub says: EntryBody,
    /// The bytes of what it says.
    pub bytes: Bytes,
    /// The digest of those bytes.
    pub digest: Digest,
    /// The signatures over those bytes, as they came. Whether they count says a kitchen's root.
    pub signatures: Vec<Signature>,
}

impl Change {
    /// Takes an entry from elsewhere: its bytes are hashed first, and read only then.
    pub(crate) fn checked(entry: FeedEntry) -> Result<Self, Error> {
        let FeedEntry { position, previous_position, recorded_at, kind, body } = entry;
        let Frozen { bytes, digest, signatures } = body;
        let computed = chablon_wire::digest(&bytes);
        if computed != digest {
            let message = format!(
                "the entry at position {position} came with the digest `{computed}` instead of \
                 `{digest}`"
            );
            return Err(Error::new(Kind::Damaged, message));
        }
        let says = read(position, kind, &bytes)?;
        Ok(Self { position, previous_position, recorded_at, says, bytes, digest, signatures })
    }

    /// The entry. What is in force at a site is asked of entries as it has them:
    /// [`Entry::at_site`].
    pub fn entry(&self) -> Entry {
        Entry { position: self.position, body: self.says.clone() }
    }
}

/// What the body of an entry says.
pub(crate) fn read(position: u64, kind: BodyKind, body: &[u8]) -> Result<EntryBody, Error> {
    kind.decode(body).map_err(|error| {
        Error::of_wire(&error).while_doing(format_args!("the entry at position {position}"))
    })
}

/// A stretch of the feed. The parts of a release are never split over two.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Changes {
    /// The entries, by position. Empty: nothing up to `next` concerns the reader.
    pub entries: Vec<Change>,
    /// From where to go on.
    pub next: FeedCursor,
    /// Whether the hub knew of more after `next`.
    pub more: bool,
    /// What the hub vouches for with it, as it came; none where the hub has no key.
    pub checkpoint: Option<SignedBytes>,
}

/// A release as one reader sees it.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Release {
    /// The release.
    pub id: ReleaseId,
    /// When the hub recorded it.
    pub recorded_at: Moment,
    /// The parts that address the reader, at least one, by position.
    pub parts: Vec<Change>,
}

/// Where a change was recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Recorded {
    /// The history.
    pub epoch: String,
    /// The position of its first entry.
    pub first_position: u64,
    /// The position of its last entry.
    pub last_position: u64,
}

/// Where the feed stands.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct FeedHead {
    /// The cursor of a reader that has read all.
    pub cursor: FeedCursor,
    /// The lowest position from which a cursor is served; 0: from the start.
    pub oldest_position: u64,
    /// How old the replica is that answered; none where a hub did.
    pub replica: Option<ReplicaState>,
}
