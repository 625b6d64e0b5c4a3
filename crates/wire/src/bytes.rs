//! Frozen bytes: their digest, their bounds, and what must be known before they are read.

use bytes::Bytes;
use chablon_model::{Digest, PublicKey, Signature};
use prost::Message;
use sha2::{Digest as _, Sha256};

use crate::form::{Wire, list, sorted, to_list};
use crate::{At, Violation, WireError, pb};

/// The most bytes of an encoded revision, manifest or notice: 1 MiB.
pub const MAX_BODY_BYTES: usize = 1 << 20;

/// The most signatures over one body.
pub const MAX_SIGNATURES: usize = 16;

/// The version of the schema that this crate writes and reads.
pub const SCHEMA_VERSION: u32 = 1;

/// The features beyond the schema version that this crate understands.
const KNOWN_FEATURES: &[&str] = &[SITE_MOMENTS];

/// A release holds from other moments at some sites.
pub(crate) const SITE_MOMENTS: &str = "site-moments";

/// The SHA-256 digest of bytes.
pub fn digest(bytes: &[u8]) -> Digest {
    Digest(Sha256::digest(bytes).into())
}

/// What all signed content has in common, so that it can be asked first whether the rest may be
/// read.
#[derive(Clone, PartialEq, Message)]
struct Head {
    #[prost(uint32, tag = "1")]
    schema_version: u32,
    #[prost(string, repeated, tag = "2")]
    required_features: Vec<String>,
}

/// Decodes a message of signed content, if it is of a bearable size and nothing in it must be
/// understood that isn't.
pub(crate) fn decode<M: Message + Default>(
    bytes: &[u8],
    what: &'static str,
) -> Result<M, WireError> {
    decode_within(bytes, what, MAX_BODY_BYTES)
}

/// The same for a message that is smaller than others may be.
pub(crate) fn decode_within<M: Message + Default>(
    bytes: &[u8],
    what: &'static str,
    limit: usize,
) -> Result<M, WireError> {
    let size = bytes.len();
    if size > limit {
        return Err(WireError::TooLarge { what, limit, size });
    }
    let malformed =
        |error: prost::DecodeError| WireError::Malformed { what, reason: error.to_string() };
    let head = Head::decode(bytes).map_err(malformed)?;
    check_head(head.schema_version, &head.required_features, what)?;
    M::decode(bytes).map_err(malformed)
}

/// Refuses another version of the schema, and features that aren't understood.
pub(crate) fn check_head(
    version: u32,
    required_features: &[String],
    what: &'static str,
) -> Result<(), WireError> {
    let known = SCHEMA_VERSION;
    if version == 0 {
        return Err(Violation::required().at("schema_version").into());
    }
    if version != known {
        return Err(WireError::UnsupportedSchema { what, version, known });
    }
    sorted(required_features, "required_features")?;
    let unknown = required_features.iter().find(|f| !KNOWN_FEATURES.contains(&f.as_str()));
    unknown.map_or(Ok(()), |feature| {
        Err(WireError::UnsupportedFeature { what, feature: feature.clone() })
    })
}

/// Frozen bytes with the digest that is stated for them, and signatures over them.
///
/// Neither the digest nor a signature is verified here: whoever keeps or reads the bytes does that,
/// and knows which digest was asked for and whose signature counts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Frozen {
    /// The bytes.
    pub bytes: Bytes,
    /// The digest that is stated.
    pub digest: Digest,
    /// The signatures, sorted by key, each key once.
    pub signatures: Vec<Signature>,
}

impl Frozen {
    /// Bytes that nobody signs, since others name them by their digest.
    pub fn unsigned(bytes: Bytes, digest: Digest) -> Self {
        Self { bytes, digest, signatures: Vec::new() }
    }
}

impl Wire for Frozen {
    type Pb = pb::FrozenBytes;

    fn to_pb(&self) -> pb::FrozenBytes {
        pb::FrozenBytes {
            body: self.bytes.clone(),
            digest: self.digest.to_pb(),
            signatures: to_list(&self.signatures),
        }
    }

    fn from_pb(frozen: pb::FrozenBytes) -> Result<Self, Violation> {
        let pb::FrozenBytes { body, digest, signatures } = frozen;
        if body.is_empty() {
            return Err(Violation::required().at("body"));
        }
        let (size, limit) = (body.len(), MAX_BODY_BYTES);
        if size > limit {
            let reason = format!("{size} bytes are more than the {limit} that a body may have");
            return Err(Violation::new(reason).at("body"));
        }
        let digest = Digest::from_pb(digest).at("digest")?;
        Ok(Self { bytes: body, digest, signatures: signatures_from_pb(signatures)? })
    }
}

/// Frozen bytes with their signatures, as one file or record holds them.
pub fn encode_frozen(frozen: &Frozen) -> Vec<u8> {
    frozen.to_pb().encode_to_vec()
}

/// The frozen bytes of such a file or record. They are bounded by whoever reads it.
pub fn decode_frozen(bytes: &[u8], what: &'static str) -> Result<Frozen, WireError> {
    let form = pb::FrozenBytes::decode(bytes)
        .map_err(|error| WireError::Malformed { what, reason: error.to_string() })?;
    Ok(Frozen::from_pb(form)?)
}

/// The signatures over a body, if there are no more than may be and each key has one.
pub fn signatures_from_pb(signatures: Vec<pb::Signature>) -> Result<Vec<Signature>, Violation> {
    let count = signatures.len();
    if count > MAX_SIGNATURES {
        let reason = format!("has {count} items; at most {MAX_SIGNATURES} are taken");
        return Err(Violation::new(reason).at("signatures"));
    }
    let signatures: Vec<Signature> = list(signatures, "signatures")?;
    let keys: Vec<PublicKey> = signatures.iter().map(|signature| signature.key).collect();
    sorted(&keys, "signatures")?;
    Ok(signatures)
}

impl Wire for Signature {
    type Pb = pb::Signature;

    fn to_pb(&self) -> pb::Signature {
        pb::Signature { key: self.key.to_pb(), signature: Bytes::copy_from_slice(&self.bytes) }
    }

    fn from_pb(form: pb::Signature) -> Result<Self, Violation> {
        let pb::Signature { key, signature } = form;
        let wrong = |_| match signature.len() {
            0 => Violation::required(),
            length => Violation::new(format!("a signature has 64 bytes, not {length}")),
        };
        let bytes = signature.as_ref().try_into().map_err(wrong).at("signature")?;
        Ok(Self { key: PublicKey::from_pb(key).at("key")?, bytes })
    }
}

impl Wire for PublicKey {
    type Pb = Bytes;

    fn to_pb(&self) -> Bytes {
        Bytes::copy_from_slice(&self.0)
    }

    fn from_pb(bytes: Bytes) -> Result<Self, Violation> {
        let wrong = |_| match bytes.len() {
            0 => Violation::required(),
            length => Violation::new(format!("a public key has 32 bytes, not {length}")),
        };
        bytes.as_ref().try_into().map(Self).map_err(wrong)
    }
}
