//! Bytes that never change, known by their digest.

use bytes::Bytes;
use chablon_model::{Digest, Signature};
use sha2::{Digest as _, Sha256};

/// The SHA-256 digest of bytes.
pub fn digest_of(bytes: &[u8]) -> Digest {
    Digest(Sha256::digest(bytes).into())
}

/// Bytes with the digest by which others know them, and with signatures over them.
///
/// The digest is a statement until [`Frozen::holds`] was asked: bytes that came from elsewhere are
/// hashed before anything else is done with them. Signatures are kept as they came; whether they
/// count is for readers to say.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Frozen {
    /// The digest as stated.
    pub digest: Digest,
    /// The bytes.
    pub bytes: Bytes,
    /// The signatures, sorted by key, each key once.
    pub signatures: Vec<Signature>,
}

impl Frozen {
    /// Bytes of one's own, hashed here.
    pub fn new(bytes: impl Into<Bytes>) -> Self {
        let bytes = bytes.into();
        Self { digest: digest_of(&bytes), bytes, signatures: Vec::new() }
    }

    /// Bytes from elsewhere with the digest that is stated for them, signed by nobody.
    pub fn stated(digest: Digest, bytes: impl Into<Bytes>) -> Self {
        Self { digest, bytes: bytes.into(), signatures: Vec::new() }
    }

    /// Whether the bytes have the digest that is stated.
    pub fn holds(&self) -> bool {
        digest_of(&self.bytes) == self.digest
    }
}
