//! What a figure rests on.

use std::collections::BTreeSet;

use chablon_arith::RULES_VERSION;
use chablon_model::{Digest, Moment};

/// What a figure was computed from. Equal bases give equal digits, whoever computes.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Basis {
    /// The version of the rules.
    pub rules: String,
    /// The digests of all revisions that were read, sorted.
    pub digests: BTreeSet<Digest>,
    /// How old the replica is, where a kitchen's service computed it. None: a hub did, or this
    /// program itself. No digit depends on it.
    pub replica: Option<ReplicaState>,
}

/// How old what a kitchen's service answers is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct ReplicaState {
    /// When the kitchen last knew all that a hub knew, on its own clock; none where its first
    /// catch-up isn't over.
    pub heard_at: Option<Moment>,
}

impl Basis {
    /// These revisions under the rules of this version.
    pub(crate) fn new(digests: BTreeSet<Digest>) -> Self {
        Self { rules: RULES_VERSION.to_owned(), digests, replica: None }
    }
}
