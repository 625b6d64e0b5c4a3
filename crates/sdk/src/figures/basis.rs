//! What a figure rests on.

use std::collections::BTreeSet;

use chablon_arith::RULES_VERSION;
use chablon_model::Digest;

/// What a figure was computed from. Equal bases give equal digits, whoever computes.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Basis {
    /// The version of the rules.
    pub rules: String,
    /// The digests of all revisions that were read, sorted.
    pub digests: BTreeSet<Digest>,
}

impl Basis {
    /// These revisions under the rules of this version.
    pub(crate) fn new(digests: BTreeSet<Digest>) -> Self {
        Self { rules: RULES_VERSION.to_owned(), digests }
    }
}
