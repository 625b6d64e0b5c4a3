//! Frozen bytes that come from outside.

use chablon_model::{Digest, RevisionRef};
use chablon_store::{Frozen, digest_of};
use chablon_wire::{At, MAX_BODY_BYTES, Violation, WireError};

/// Why frozen bytes are refused.
#[derive(Debug, thiserror::Error)]
pub enum BodyError {
    /// More bytes than there may be; none of them was looked at.
    #[error("{path}: {size} bytes are more than the {limit} that are taken; split it")]
    TooLarge {
        /// Which bytes.
        path: String,
        /// The most bytes.
        limit: usize,
        /// How many there are.
        size: usize,
    },
    /// They aren't what their digest says.
    #[error("{path}: the bytes have the digest `{computed}`, not `{stated}`; send them anew")]
    DigestMismatch {
        /// Which bytes.
        path: String,
        /// The digest as stated.
        stated: Digest,
        /// The digest of the bytes.
        computed: Digest,
    },
    /// They need something of a reader that this one lacks.
    #[error("{path}: {why}")]
    Unsupported {
        /// Which bytes.
        path: String,
        /// What is needed.
        feature: String,
        /// The same in words.
        why: WireError,
    },
    /// They don't decode, or what they say breaks a rule.
    #[error("{}", first(.violations))]
    Invalid {
        /// The revision that breaks the first rule, where that much is known.
        revision: Option<Box<RevisionRef>>,
        /// Where and how, all that was found.
        violations: Vec<Violation>,
    },
}

fn first(violations: &[Violation]) -> String {
    match violations {
        [] => "the content breaks a rule".to_owned(),
        [only] => only.to_string(),
        [first, rest @ ..] => format!("{first}; and {} more", rest.len()),
    }
}

/// How bytes are decoded.
pub(crate) type Decode<T> = fn(&[u8]) -> Result<T, WireError>;

/// What the bytes say, checked from the cheapest to the dearest: size, digest, content.
pub(crate) fn read<T>(path: &str, frozen: &Frozen, decode: Decode<T>) -> Result<T, BodyError> {
    bounded(path, frozen.bytes.len(), MAX_BODY_BYTES)?;
    let (stated, computed) = (frozen.digest, digest_of(&frozen.bytes));
    if stated != computed {
        return Err(BodyError::DigestMismatch { path: path.to_owned(), stated, computed });
    }
    decode(&frozen.bytes).map_err(|error| refused(path, error))
}

/// What all of a list's bytes say. Broken rules are gathered over the whole list.
pub(crate) fn read_all<T>(
    list: &str,
    frozen: &[Frozen],
    decode: Decode<T>,
) -> Result<Vec<T>, BodyError> {
    let mut read_so_far = Vec::new();
    let mut broken = Vec::new();
    for (index, one) in frozen.iter().enumerate() {
        match read(&item(list, index), one, decode) {
            Ok(value) => read_so_far.push(value),
            Err(BodyError::Invalid { violations, .. }) => broken.extend(violations),
            Err(other) => return Err(other),
        }
    }
    if broken.is_empty() {
        Ok(read_so_far)
    } else {
        Err(BodyError::Invalid { revision: None, violations: broken })
    }
}

/// What stands for frozen bytes in the digest of a request: the bytes' own digest, and who signed
/// them. The same bytes signed by others are another request.
pub(crate) fn content(frozen: &Frozen) -> String {
    let signed = frozen.signatures.iter().map(|one| format!(" {}", one.key));
    std::iter::once(frozen.digest.to_string()).chain(signed).collect()
}

/// Refuses what is too large.
pub(crate) fn bounded(path: &str, size: usize, limit: usize) -> Result<(), BodyError> {
    if size > limit {
        return Err(BodyError::TooLarge { path: path.to_owned(), limit, size });
    }
    Ok(())
}

/// The path of an item of a list.
pub(crate) fn item(list: &str, index: usize) -> String {
    format!("{list}[{index}]")
}

fn refused(path: &str, error: WireError) -> BodyError {
    let path = path.to_owned();
    match error {
        WireError::TooLarge { limit, size, .. } => BodyError::TooLarge { path, limit, size },
        WireError::UnsupportedSchema { version, .. } => BodyError::Unsupported {
            path,
            feature: format!("schema-version-{version}"),
            why: error,
        },
        WireError::UnsupportedFeature { ref feature, .. } => {
            BodyError::Unsupported { path, feature: feature.clone(), why: error }
        }
        WireError::Malformed { .. } => {
            let violation = Violation::new(error.to_string()).at("body").at(&path);
            BodyError::Invalid { revision: None, violations: vec![violation] }
        }
        WireError::Invalid(violation) => {
            BodyError::Invalid { revision: None, violations: vec![violation.at(&path)] }
        }
    }
}
