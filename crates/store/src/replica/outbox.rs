//! What a kitchen says to its hub.

use chablon_model::{Digest, Moment};

use crate::Statement;

/// A statement about an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Said {
    /// About which entry.
    pub position: u64,
    /// What is said.
    pub statement: Statement,
    /// From when it is so.
    pub at: Moment,
    /// Why: given for a refusal, and for nothing else.
    pub reason: Option<String>,
}

impl Said {
    /// Whether this takes the place of the same statement about the same entry.
    pub fn renews(&self, old: &Self) -> bool {
        self.statement.renews() && self.at > old.at
    }
}

/// A statement that waits to be sent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outgoing {
    /// By which it is noted as sent.
    pub id: u64,
    /// What is said.
    pub said: Said,
    /// The digest of the entry's body.
    pub body_digest: Digest,
}
