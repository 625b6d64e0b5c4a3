//! Keys that anyone may know, and what they signed.

use chablon_model::{Audience, Manifest, Moment, NextStep, RevisionRef, Root, TrustKey, TrustRole};
use chablon_model::{Checkpoint, Digest, Entry, EntryBody, Withdrawal};
use chablon_trust::{Chain, Payload, SigningKey};
use chablon_wire::{Frozen, encode_checkpoint, encode_root};

pub(crate) const DAY: i64 = 24 * 60 * 60 * 1000;

pub(crate) fn id<T: std::str::FromStr<Err: std::fmt::Debug>>(text: &str) -> T {
    text.parse().unwrap()
}

/// Keys by a byte: 1 to 3 are root keys, 11 and 12 release keys, 21 a hub's.
pub(crate) fn key(byte: u8) -> SigningKey {
    SigningKey::from_seed(&[byte; 32])
}

pub(crate) fn role(threshold: u32, keys: &[u8]) -> TrustRole {
    let named = |byte: &u8| TrustKey { key: key(*byte).public(), holder: format!("Key {byte}") };
    let mut keys: Vec<TrustKey> = keys.iter().map(named).collect();
    keys.sort();
    TrustRole { threshold, keys }
}

/// A root that needs two of three keys, and one of two to release.
pub(crate) fn root(version: u32) -> Root {
    Root {
        version,
        issued_at: Moment(0),
        expires_at: Moment(365 * DAY),
        root: role(2, &[1, 2, 3]),
        release: role(1, &[11, 12]),
        checkpoint: role(1, &[21]),
    }
}

pub(crate) fn signed(payload: Payload, bytes: Vec<u8>, keys: &[u8]) -> Frozen {
    let mut signatures: Vec<_> = keys.iter().map(|byte| key(*byte).sign(payload, &bytes)).collect();
    signatures.sort();
    Frozen { digest: chablon_wire::digest(&bytes), bytes: bytes.into(), signatures }
}

pub(crate) fn signed_root(root: &Root, keys: &[u8]) -> Frozen {
    signed(Payload::Root, encode_root(root), keys)
}

pub(crate) fn checkpoint(epoch: &str, position: u64, issued_at: i64) -> Checkpoint {
    Checkpoint {
        site: id("harbour"),
        epoch: epoch.to_owned(),
        view: Digest([7; 32]),
        position,
        chain: Chain::new().digest(),
        snapshot: None,
        state: None,
        issued_at: Moment(issued_at),
        expires_at: Moment(issued_at + DAY),
    }
}

pub(crate) fn signed_checkpoint(checkpoint: &Checkpoint, keys: &[u8]) -> Frozen {
    signed(Payload::Checkpoint, encode_checkpoint(checkpoint), keys)
}

pub(crate) fn revision(key: &str, number: u32) -> RevisionRef {
    let digest = chablon_wire::digest(format!("{key} {number}").as_bytes());
    RevisionRef { key: id(key), number, digest }
}

pub(crate) fn release(position: u64, audience: Audience, items: &[RevisionRef]) -> Entry {
    let body = EntryBody::Release(Manifest {
        release: id(&format!("release-{position}")),
        part: 1,
        part_count: 1,
        audience,
        holds_from: Moment(i64::try_from(position).unwrap() * 100),
        at_sites: std::collections::BTreeMap::new(),
        items: items.to_vec(),
        note: "A note".to_owned(),
        author: "Group pastry chef".to_owned(),
    });
    Entry { position, body }
}

pub(crate) fn withdrawal(position: u64, revision: &RevisionRef, next: NextStep) -> Entry {
    let body = EntryBody::Withdrawal(Withdrawal {
        revision: revision.clone(),
        next,
        audience: Audience::All,
        holds_from: Moment(0),
        reason: "A reason".to_owned(),
        author: "Group pastry chef".to_owned(),
    });
    Entry { position, body }
}
