//! Keys that anyone may know, and roots that they signed.

use chablon_model::{Moment, Root, TrustKey, TrustRole};
use chablon_trust::{Payload, SigningKey};
use chablon_wire::{Frozen, encode_root};

/// The root keys of [`root`]; two must sign.
pub const ROOT_KEYS: [u8; 3] = [1, 2, 3];
/// Its release keys; one must sign.
pub const RELEASE_KEYS: [u8; 2] = [11, 12];
/// Its hub's key.
pub const HUB_KEY: u8 = 21;

/// The key that a byte gives.
pub fn key(byte: u8) -> SigningKey {
    SigningKey::from_seed(&[byte; 32])
}

/// A role of keys by their bytes.
pub fn role(threshold: u32, keys: &[u8]) -> TrustRole {
    let named = |byte: &u8| TrustKey { key: key(*byte).public(), holder: format!("Key {byte}") };
    let mut keys: Vec<TrustKey> = keys.iter().map(named).collect();
    keys.sort();
    TrustRole { threshold, keys }
}

/// A version of a root that holds from 1970 to 2070.
pub fn root(version: u32) -> Root {
    Root {
        version,
        issued_at: Moment(0),
        expires_at: Moment(3_155_760_000_000),
        root: role(2, &ROOT_KEYS),
        release: role(1, &RELEASE_KEYS),
        checkpoint: role(1, &[HUB_KEY]),
    }
}

/// A root signed by keys.
pub fn signed_root(root: &Root, keys: &[u8]) -> Frozen {
    signed(Payload::Root, encode_root(root), keys)
}

/// Bytes signed by keys.
pub fn signed(payload: Payload, bytes: Vec<u8>, keys: &[u8]) -> Frozen {
    let mut signatures: Vec<_> = keys.iter().map(|byte| key(*byte).sign(payload, &bytes)).collect();
    signatures.sort();
    Frozen { digest: chablon_wire::digest(&bytes), bytes: bytes.into(), signatures }
}
