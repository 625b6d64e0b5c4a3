//! Revisions as bytes.

use bytes::Bytes;
use chablon_model::{Revision, RevisionRef};
use chablon_wire::decode_revision;

use crate::Error;
use crate::error::Kind;

/// A revision as its author froze it. Its bytes have the digest by which it is known: that was
/// computed here, before anything else was done with them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FrozenRevision {
    reference: RevisionRef,
    bytes: Bytes,
}

impl FrozenRevision {
    /// Takes bytes from elsewhere, if they have the digest.
    pub(crate) fn checked(reference: RevisionRef, bytes: Bytes) -> Result<Self, Error> {
        let computed = chablon_wire::digest(&bytes);
        if computed == reference.digest {
            return Ok(Self { reference, bytes });
        }
        let RevisionRef { key, number, digest } = reference;
        let message = format!(
            "revision {number} of `{key}` came with the digest `{computed}` instead of `{digest}`"
        );
        Err(Error::new(Kind::Damaged, message))
    }

    /// Which revision it is.
    pub fn reference(&self) -> &RevisionRef {
        &self.reference
    }

    /// The bytes.
    pub fn bytes(&self) -> &Bytes {
        &self.bytes
    }

    /// What the bytes say, checked against the schema's rules and the reference.
    ///
    /// # Errors
    /// [`Error::is_unsupported`] where something newer wrote them: they may be kept and passed on,
    /// but nothing may be computed from them. [`Error::is_damaged`] where they break a rule.
    pub fn read(&self) -> Result<Revision, Error> {
        let RevisionRef { key, number, .. } = &self.reference;
        let revision = decode_revision(&self.bytes).map_err(|error| {
            Error::of_wire(&error).while_doing(format_args!("revision {number} of `{key}`"))
        })?;
        if revision.content.key() == *key && revision.number == *number {
            return Ok(revision);
        }
        let (found, its_number) = (revision.content.key(), revision.number);
        let message = format!(
            "what is called revision {number} of `{key}` is revision {its_number} of `{found}`"
        );
        Err(Error::new(Kind::Damaged, message))
    }
}
