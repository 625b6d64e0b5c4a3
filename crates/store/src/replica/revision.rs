//! Revisions as a kitchen keeps them.

use bytes::Bytes;
use chablon_model::RevisionRef;

/// A revision to keep.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewHeldRevision {
    /// Which revision the bytes are; its digest is checked against them.
    pub reference: RevisionRef,
    /// The bytes.
    pub bytes: Bytes,
    /// What it uses directly.
    pub pins: Vec<RevisionRef>,
}

/// A revision that is held.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HeldRevision {
    /// Which one.
    pub reference: RevisionRef,
    /// The bytes as they came.
    pub bytes: Bytes,
}
