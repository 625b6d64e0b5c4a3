//! Frozen bytes: their digest, their bounds, and what must be known before they are read.

use bytes::Bytes;
use chablon_model::Digest;
use prost::Message;
use sha2::{Digest as _, Sha256};

use crate::form::{Wire, sorted};
use crate::{At, Violation, WireError, pb};

/// The most bytes of an encoded revision, manifest or notice: 1 MiB.
pub const MAX_BODY_BYTES: usize = 1 << 20;

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
    let size = bytes.len();
    if size > MAX_BODY_BYTES {
        return Err(WireError::TooLarge { what, limit: MAX_BODY_BYTES, size });
    }
    let malformed =
        |error: prost::DecodeError| WireError::Malformed { what, reason: error.to_string() };
    check_head(&Head::decode(bytes).map_err(malformed)?, what)?;
    M::decode(bytes).map_err(malformed)
}

fn check_head(head: &Head, what: &'static str) -> Result<(), WireError> {
    let (version, known) = (head.schema_version, SCHEMA_VERSION);
    if version == 0 {
        return Err(Violation::required().at("schema_version").into());
    }
    if version != known {
        return Err(WireError::UnsupportedSchema { what, version, known });
    }
    sorted(&head.required_features, "required_features")?;
    let unknown = head.required_features.iter().find(|f| !KNOWN_FEATURES.contains(&f.as_str()));
    unknown.map_or(Ok(()), |feature| {
        Err(WireError::UnsupportedFeature { what, feature: feature.clone() })
    })
}

/// Frozen bytes as they travel.
pub fn frozen_to_pb(bytes: Bytes, digest: &Digest) -> pb::FrozenBytes {
    pb::FrozenBytes { body: bytes, digest: digest.to_pb() }
}

/// The bytes of a frozen message and the digest that is stated for them.
///
/// The digest is not compared here: whoever keeps or reads the bytes does that, and knows which
/// digest was asked for.
pub fn frozen_from_pb(frozen: pb::FrozenBytes) -> Result<(Bytes, Digest), Violation> {
    let size = frozen.body.len();
    if size == 0 {
        return Err(Violation::required().at("body"));
    }
    if size > MAX_BODY_BYTES {
        let reason =
            format!("{size} bytes are more than the {MAX_BODY_BYTES} that a body may have");
        return Err(Violation::new(reason).at("body"));
    }
    Ok((frozen.body, Digest::from_pb(frozen.digest).at("digest")?))
}
