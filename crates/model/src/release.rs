//! Releases and withdrawals, as the chef states them.

use crate::{Audience, Moment, ReleaseId, RevisionRef};

/// One part of a release: what is put in force, for whom, from when.
///
/// A release is one atomic change. It has more than one part where some of its documents concern
/// a single site: what one kitchen pays is never shown to another.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Manifest {
    /// The release.
    pub release: ReleaseId,
    /// This part, from 1.
    pub part: u32,
    /// How many parts the release has.
    pub part_count: u32,
    /// Whom it addresses.
    pub audience: Audience,
    /// The moment from which it holds.
    pub holds_from: Moment,
    /// What is put in force, sorted by document, each document once.
    pub items: Vec<RevisionRef>,
    /// Why, for people.
    pub note: String,
    /// Who released it.
    pub author: String,
}

/// What a kitchen does after a withdrawal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NextStep {
    /// Go back to this revision of the same document.
    GoBackTo(RevisionRef),
    /// Make none until further notice.
    MakeNone,
}

/// Takes a released revision back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Withdrawal {
    /// What is withdrawn.
    pub revision: RevisionRef,
    /// What to do instead.
    pub next: NextStep,
    /// Whom it addresses.
    pub audience: Audience,
    /// The moment from which it holds.
    pub holds_from: Moment,
    /// Why, for people.
    pub reason: String,
    /// Who withdrew it.
    pub author: String,
}
