//! Making a root: freezing it, signing it where the keys are, and carrying it between their holders.
//!
//! A root file is the text `chablon root 1`, a line feed, and an encoded `FrozenBytes` whose body is
//! a `TrustRoot`. It may be on its way with too few signatures yet.

use chablon_model::Root;
use chablon_wire::{
    Frozen, MAX_ROOT_BYTES, WireError, decode_frozen, decode_root, encode_frozen, encode_root,
};

use crate::{Payload, SigningKey};

const FIRST_LINE: &[u8] = b"chablon root 1\n";

/// The most bytes of a root file: a root with its signatures.
const MAX_FILE_BYTES: usize = MAX_ROOT_BYTES + 16 * 1024;

/// What root files are called in messages.
const WHAT: &str = "a root file";

/// The bytes of a root, signed by nobody yet.
pub fn freeze_root(root: &Root) -> Frozen {
    let bytes = encode_root(root);
    let digest = chablon_wire::digest(&bytes);
    Frozen::unsigned(bytes.into(), digest)
}

/// What a root says, with nothing verified but that it can be read: to look at it, and no more.
pub fn root_content(root: &Frozen) -> Result<Root, WireError> {
    decode_root(&root.bytes)
}

/// Puts a signature beside bytes. Signed again with the same key, nothing changes.
pub fn sign(frozen: &mut Frozen, payload: Payload, key: &SigningKey) {
    let signature = key.sign(payload, &frozen.bytes);
    frozen.signatures.retain(|one| one.key != signature.key);
    frozen.signatures.push(signature);
    frozen.signatures.sort_unstable();
}

/// The file of a root.
pub fn root_to_file(root: &Frozen) -> Vec<u8> {
    [FIRST_LINE, &encode_frozen(root)].concat()
}

/// The root of a file. Neither its digest nor its signatures are verified here.
pub fn root_from_file(bytes: &[u8]) -> Result<Frozen, WireError> {
    let (limit, size) = (MAX_FILE_BYTES, bytes.len());
    if size > limit {
        return Err(WireError::TooLarge { what: WHAT, limit, size });
    }
    let content = bytes.strip_prefix(FIRST_LINE).ok_or_else(|| WireError::Malformed {
        what: WHAT,
        reason: "it doesn't begin as one".to_owned(),
    })?;
    decode_frozen(content, WHAT)
}
