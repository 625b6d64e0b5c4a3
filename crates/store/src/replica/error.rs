//! What can go wrong with a kitchen's store.

use std::error::Error;

use chablon_model::{Digest, SiteId};

use crate::Cursor;

/// Why a kitchen's store did not do what it was asked. What was asked for then left no trace.
#[derive(Debug, thiserror::Error)]
pub enum ReplicaError {
    /// The replica belongs to no site yet.
    #[error("this replica is not enrolled; enrol it as a site first")]
    NotEnrolled,
    /// The replica belongs to another site.
    #[error("this replica is that of site `{site}`; use another folder for `{asked}`")]
    EnrolledElsewhere {
        /// Whose it is.
        site: SiteId,
        /// Whose it was to be.
        asked: SiteId,
    },
    /// The entries are of another epoch or of another view: list the view anew and replace all.
    #[error("the hub's feed was restored or this site's groups changed; list the view anew")]
    OtherView {
        /// The cursor as it stands.
        held: Box<Cursor>,
        /// The cursor that was given.
        given: Box<Cursor>,
    },
    /// Entries are missing between those held and those given: list from the cursor.
    #[error(
        "the entry at position {position} follows the one at {previous}, but the last one here is \
         at {last}; list the entries after the cursor once more"
    )]
    Gap {
        /// The first entry that doesn't join.
        position: u64,
        /// The position of the entry before it, as it states.
        previous: u64,
        /// The position of the entry that is held or given before it.
        last: u64,
    },
    /// The hub shows another history than before: list the view anew and replace all.
    #[error(
        "the hub shows another entry at position {position} than it did before; \
         list the view anew and tell whoever runs the hub"
    )]
    Diverged {
        /// The position.
        position: u64,
    },
    /// The entries need revisions that are not held: fetch and store them first.
    #[error("{} revisions that the entries need are not held; fetch them first", .0.len())]
    Missing(
        /// Which, sorted.
        Vec<Digest>,
    ),
    /// A statement about an entry that is not held.
    #[error("there is no entry at position {position} here")]
    UnknownEntry {
        /// The position.
        position: u64,
    },
    /// Bytes that are not what they are said to be.
    #[error("{what}: the bytes have the digest `{computed}`, not `{stated}`; fetch them anew")]
    DigestMismatch {
        /// Which bytes.
        what: String,
        /// The digest that was stated.
        stated: Digest,
        /// The digest of the bytes.
        computed: Digest,
    },
    /// What was given contradicts itself.
    #[error("{0}")]
    Malformed(String),
    /// What is held makes no sense: remove the store and catch up anew.
    #[error("this replica is damaged: {0}; remove it, enrol and catch up anew")]
    Damaged(String),
    /// The database can't be used now; the same may work later.
    #[error("the replica is unavailable")]
    Unavailable(#[source] Box<dyn Error + Send + Sync>),
}
