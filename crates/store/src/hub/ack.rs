//! What sites say about entries.

use std::ops::RangeInclusive;

use chablon_model::{Digest, Moment, SiteId};

/// What is said about an entry. No statement implies another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Statement {
    /// The entry and all that it needs is held at the site.
    Received,
    /// The site works by it.
    InUse,
    /// The site doesn't work by it, for a reason that it gives.
    Refused,
}

impl Statement {
    /// Every statement.
    pub const ALL: [Self; 3] = [Self::Received, Self::InUse, Self::Refused];

    /// The statement's name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Received => "received",
            Self::InUse => "in_use",
            Self::Refused => "refused",
        }
    }

    /// Whether the same statement of a later moment takes the place of an earlier one. What was
    /// received stays received; to use a standard and to refuse it follow each other, and what
    /// was said last counts.
    pub fn renews(self) -> bool {
        match self {
            Self::Received => false,
            Self::InUse | Self::Refused => true,
        }
    }

    /// The statement of this name.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|statement| statement.as_str() == name)
    }
}

/// An acknowledgement: what a site says about an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ack {
    /// Who says it.
    pub site: SiteId,
    /// About which entry.
    pub position: u64,
    /// The digest of the entry's body, so that an entry of another epoch isn't acknowledged by
    /// mistake.
    pub body_digest: Digest,
    /// What is said.
    pub statement: Statement,
    /// From when it is so.
    pub at: Moment,
    /// Why: given for a refusal, and for nothing else.
    pub reason: Option<String>,
}

/// Which acknowledgements are asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AckFilter {
    /// About entries at these positions.
    pub positions: RangeInclusive<u64>,
    /// Of this site only.
    pub site: Option<SiteId>,
}
