//! Roots of trust and signatures that come later.

use chablon_model::{Digest, Signature};

use crate::Frozen;

/// A version of the root of trust, as it came.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RootRecord {
    /// The version.
    pub version: u32,
    /// Its bytes and signatures.
    pub frozen: Frozen,
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
