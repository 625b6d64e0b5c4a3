//! Releases and withdrawals, as the chef states them.

use std::collections::BTreeMap;

use crate::{Audience, Moment, ReleaseId, RevisionRef, SiteId};

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
    /// The moment from which it holds, but for the sites below.
    pub holds_from: Moment,
    /// The sites at which it holds from another moment.
    pub at_sites: BTreeMap<SiteId, Moment>,
    /// What is put in force, sorted by document, each document once.
    pub items: Vec<RevisionRef>,
    /// Why, for people.
    pub note: String,
    /// Who released it.
    pub author: String,
}

impl Manifest {
    /// The moment from which it holds at a site.
    pub fn holds_from_at(&self, site: &SiteId) -> Moment {
        self.at_sites.get(site).copied().unwrap_or(self.holds_from)
    }

    /// The first and the last moment from which it holds anywhere.
    pub fn span(&self) -> (Moment, Moment) {
        let all = || self.at_sites.values().copied().chain([self.holds_from]);
        (all().min().unwrap_or_default(), all().max().unwrap_or_default())
    }
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
