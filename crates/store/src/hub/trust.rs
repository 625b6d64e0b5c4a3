//! Roots of trust and signatures that come later.

use std::collections::BTreeSet;

use chablon_model::{Digest, Moment, Signature};

use crate::{Act, Actor, AuditRecord, Frozen};

/// A version of the root of trust, as it came.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RootRecord {
    /// The version.
    pub version: u32,
    /// Its bytes and signatures.
    pub frozen: Frozen,
}

/// The next version of the root of trust, to keep.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RootCommit {
    /// When the hub took it.
    pub at: Moment,
    /// Who adds it.
    pub by: Actor,
    /// The version.
    pub root: RootRecord,
}

impl RootCommit {
    /// What the log says of it.
    pub fn record(&self) -> AuditRecord {
        AuditRecord {
            at: self.at,
            by: self.by.clone(),
            act: Act::AddRoot,
            subject: format!("root/{}", self.root.version),
            detail: self.root.frozen.digest.to_string(),
        }
    }
}

/// Signatures for an entry, in the place of those that it has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EntrySignatures {
    /// The entry's position.
    pub position: u64,
    /// The digest of its body, so that an entry of another history isn't signed by mistake.
    pub body_digest: Digest,
    /// The signatures, sorted by key, each key once.
    pub signatures: Vec<Signature>,
}

/// Signatures to put beside entries.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SigningCommit {
    /// When the hub took them.
    pub at: Moment,
    /// Who brings them.
    pub by: Actor,
    /// The signatures, of each entry once.
    pub signed: Vec<EntrySignatures>,
}

impl SigningCommit {
    /// What the log says of it, given the positions of the entries that had other signatures.
    pub fn record(&self, changed: &BTreeSet<u64>) -> Option<AuditRecord> {
        let (first, last) = (changed.first()?, changed.last()?);
        let (at, by) = (self.at, self.by.clone());
        let several = || format!("entries/{first}-{last}");
        let subject = if first == last { format!("entry/{first}") } else { several() };
        let detail = format!("{} signed", changed.len());
        Some(AuditRecord { at, by, act: Act::SignEntries, subject, detail })
    }
}
