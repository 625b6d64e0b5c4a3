//! Roots that are trusted.

use std::collections::BTreeSet;

use chablon_model::{Checkpoint, Digest, PublicKey, Root, Signature, TrustRole};
use chablon_wire::{
    Frozen, MAX_BODY_BYTES, MAX_CHECKPOINT_BYTES, MAX_ROOT_BYTES, decode_checkpoint, decode_root,
};

use crate::{Payload, TrustError, verifies};

const ROOT: &str = "the root of trust";

/// A root that was pinned, or to which the trusted one before it led.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrustedRoot {
    root: Root,
    frozen: Frozen,
}

impl TrustedRoot {
    /// The root that a reader has pinned by its digest.
    pub fn pinned(frozen: &Frozen, digest: Digest) -> Result<Self, TrustError> {
        bounded(frozen, ROOT, MAX_ROOT_BYTES)?;
        if frozen.digest != digest {
            let (stated, computed) = (digest, frozen.digest);
            return Err(TrustError::DigestMismatch { what: ROOT, stated, computed });
        }
        Self::as_it_says(frozen)
    }

    /// A root by its own word: for who makes one, and who trusts the first that is shown.
    pub fn as_it_says(frozen: &Frozen) -> Result<Self, TrustError> {
        whole(frozen, ROOT, MAX_ROOT_BYTES)?;
        let root = decode_root(&frozen.bytes)?;
        signed(&root.root, Payload::Root, frozen, ROOT, "sign it with more of its own root keys")?;
        Ok(Self { root, frozen: frozen.clone() })
    }

    /// The next version: signed by the threshold of this one and by its own.
    pub fn next(&self, frozen: &Frozen) -> Result<Self, TrustError> {
        whole(frozen, ROOT, MAX_ROOT_BYTES)?;
        let mend = "sign it with more of the root keys of the version before";
        signed(&self.root.root, Payload::Root, frozen, ROOT, mend)?;
        let next = Self::as_it_says(frozen)?;
        let (expected, found) = (self.root.version.saturating_add(1), next.root.version);
        if found == expected { Ok(next) } else { Err(TrustError::WrongVersion { expected, found }) }
    }

    /// What it says.
    pub fn root(&self) -> &Root {
        &self.root
    }

    /// Its bytes and signatures, as they came.
    pub fn frozen(&self) -> &Frozen {
        &self.frozen
    }

    /// Whether an entry's body is signed by enough release keys.
    pub fn verify_entry(&self, payload: Payload, body: &Frozen) -> Result<(), TrustError> {
        const WHAT: &str = "the entry";
        whole(body, WHAT, MAX_BODY_BYTES)?;
        let mend = "sign it on the chef's machine with a release key that the newest root names";
        signed(&self.root.release, payload, body, WHAT, mend)
    }

    /// What a checkpoint says, if a hub's key signed it.
    pub fn checkpoint(&self, frozen: &Frozen) -> Result<Checkpoint, TrustError> {
        const WHAT: &str = "the checkpoint";
        whole(frozen, WHAT, MAX_CHECKPOINT_BYTES)?;
        let mend = "let the hub sign with a key that the newest root names";
        signed(&self.root.checkpoint, Payload::Checkpoint, frozen, WHAT, mend)?;
        Ok(decode_checkpoint(&frozen.bytes)?)
    }
}

/// Bounded, and what the digest says.
fn whole(frozen: &Frozen, what: &'static str, limit: usize) -> Result<(), TrustError> {
    bounded(frozen, what, limit)?;
    let (stated, computed) = (frozen.digest, chablon_wire::digest(&frozen.bytes));
    if stated == computed {
        Ok(())
    } else {
        Err(TrustError::DigestMismatch { what, stated, computed })
    }
}

fn bounded(frozen: &Frozen, what: &'static str, limit: usize) -> Result<(), TrustError> {
    let size = frozen.bytes.len();
    if size > limit { Err(TrustError::TooLarge { what, limit, size }) } else { Ok(()) }
}

fn signed(
    role: &TrustRole,
    payload: Payload,
    frozen: &Frozen,
    what: &'static str,
    mend: &'static str,
) -> Result<(), TrustError> {
    let counts = |one: &&Signature| role.has(&one.key) && verifies(one, payload, &frozen.bytes);
    let keys: BTreeSet<PublicKey> =
        frozen.signatures.iter().filter(counts).map(|one| one.key).collect();
    let found = u32::try_from(keys.len()).unwrap_or(u32::MAX);
    let needed = role.threshold;
    if found >= needed {
        Ok(())
    } else {
        Err(TrustError::TooFewSignatures { what, found, needed, mend })
    }
}
