//! Why something isn't taken.

use chablon_model::{Digest, Moment};
use chablon_wire::WireError;

/// Why something isn't taken. Nothing of it was.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum TrustError {
    /// More bytes than such a thing may have; none of them was looked at.
    #[error("{what} has {size} bytes, more than the {limit} that are taken; it isn't one of ours")]
    TooLarge {
        /// What it should be.
        what: &'static str,
        /// The most bytes.
        limit: usize,
        /// How many there are.
        size: usize,
    },
    /// The bytes are not what their digest says.
    #[error(
        "{what} came with the digest `{computed}` instead of `{stated}`; it was damaged or changed on the way"
    )]
    DigestMismatch {
        /// What it should be.
        what: &'static str,
        /// The digest that is stated or pinned.
        stated: Digest,
        /// The digest of the bytes.
        computed: Digest,
    },
    /// Too few of the keys that count have signed.
    #[error(
        "{what} is signed by {found} of the keys that count, and {needed} must have signed; {mend}"
    )]
    TooFewSignatures {
        /// What should be signed.
        what: &'static str,
        /// How many keys have signed.
        found: u32,
        /// How many must.
        needed: u32,
        /// What would mend it.
        mend: &'static str,
    },
    /// It can't be read.
    #[error(transparent)]
    Unreadable(#[from] WireError),
    /// A version of the root that doesn't follow.
    #[error(
        "the root that should be version {expected} is version {found}; ask for the versions between, one after the other"
    )]
    WrongVersion {
        /// The version that follows.
        expected: u32,
        /// The version that came.
        found: u32,
    },
    /// A hub that signs no checkpoints.
    #[error(
        "the hub signs nothing of what it shows, and this kitchen trusts only what is signed; have the hub started with its checkpoint key"
    )]
    Unvouched,
    /// A checkpoint that is about something else than what came with it.
    #[error(
        "the checkpoint is about {field} `{found}`, and what came with it about `{expected}`; the two were mixed up on the way"
    )]
    OtherCheckpoint {
        /// What differs.
        field: &'static str,
        /// What the reader has.
        expected: String,
        /// What the checkpoint says.
        found: String,
    },
    /// The entries are not those that the hub vouches for.
    #[error(
        "the entries up to position {position} are not those that the hub signed for: some are left out, put in or in another order"
    )]
    OtherChain {
        /// The position.
        position: u64,
    },
    /// What is in force here is not what the hub vouches for.
    #[error(
        "what is in force here by position {position} is not what the hub signed for; check the replica, and bring this program and the hub to the same version"
    )]
    OtherState {
        /// The position.
        position: u64,
    },
    /// The hub shows an earlier state than it did before.
    #[error(
        "the hub shows its feed up to position {shown}, but it was seen up to {seen} before; somebody shows an old copy"
    )]
    WentBack {
        /// The position that was seen.
        seen: u64,
        /// The position that is shown.
        shown: u64,
    },
    /// Another history, signed before the one that was seen last.
    #[error(
        "the hub shows another history, signed at an earlier moment than what was seen before; somebody shows an old copy"
    )]
    OlderHistory {
        /// When what was seen was signed.
        seen: Moment,
        /// When what is shown was signed.
        shown: Moment,
    },
    /// Entries that were held are missing.
    #[error(
        "the hub's history lacks {count} entries that are held here, the first at position {first}; release them again from the chef's machine, or replace the hub's key if what is held is to be given up"
    )]
    EntriesLost {
        /// How many.
        count: usize,
        /// The position of the first, in the history that is held.
        first: u64,
    },
    /// Entries that were held come in another order.
    #[error(
        "the hub shows the entry at position {position} in another order than before; somebody would take this kitchen back"
    )]
    OtherOrder {
        /// The position of the first that comes too early.
        position: u64,
    },
    /// An entry whose very body was there before.
    #[error(
        "the entry at position {position} repeats the one at {first}; what was signed once doesn't count twice"
    )]
    Repeated {
        /// The position of the repetition.
        position: u64,
        /// The position of the entry that it repeats.
        first: u64,
    },
    /// An entry that addresses others.
    #[error(
        "the entry at position {position} addresses others, not this site; it was put into this view by somebody who doesn't mean well"
    )]
    NotAddressed {
        /// The position.
        position: u64,
    },
}
