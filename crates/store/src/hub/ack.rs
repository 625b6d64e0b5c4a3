//! What sites say about entries.

use std::ops::RangeInclusive;

use chablon_model::{Digest, Moment, SiteId};

/// What is said about an entry. Neither statement implies the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Statement {
    /// The entry and all that it needs is held at the site.
    Received,
    /// The site works by it.
    InUse,
}

impl Statement {
    /// Both.
    pub const ALL: [Self; 2] = [Self::Received, Self::InUse];

    /// The statement's name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Received => "received",
            Self::InUse => "in_use",
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
}

/// Which acknowledgements are asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AckFilter {
    /// About entries at these positions.
    pub positions: RangeInclusive<u64>,
    /// Of this site only.
    pub site: Option<SiteId>,
}
