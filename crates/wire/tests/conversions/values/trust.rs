//! Arbitrary roots, checkpoints and signatures.

use std::collections::BTreeMap;

use chablon_model::{
    ChainPlace, Checkpoint, Moment, PublicKey, Root, Signature, TrustKey, TrustRole,
};
use proptest::collection::btree_map;
use proptest::prelude::*;

use super::{digest, id, words};

fn key() -> impl Strategy<Value = PublicKey> {
    any::<[u8; 32]>().prop_map(PublicKey)
}

pub(crate) fn signatures() -> impl Strategy<Value = Vec<Signature>> {
    let bytes = (any::<[u8; 32]>(), any::<[u8; 32]>());
    btree_map(key(), bytes, 0..=16).prop_map(|signed| {
        let whole = |(key, (first, second)): (PublicKey, ([u8; 32], [u8; 32]))| {
            let mut bytes = [0; 64];
            bytes[..32].copy_from_slice(&first);
            bytes[32..].copy_from_slice(&second);
            Signature { key, bytes }
        };
        signed.into_iter().map(whole).collect()
    })
}

/// A role whose keys begin with a byte that no other role's have.
fn role(first: u8, most: u32) -> impl Strategy<Value = TrustRole> {
    let keys = btree_map(key(), words(), 1..=16_usize).prop_map(move |keys| {
        let mark = |(mut key, holder): (PublicKey, String)| {
            key.0[0] = first;
            (key, holder)
        };
        let keys: BTreeMap<PublicKey, String> = keys.into_iter().map(mark).collect();
        keys.into_iter().map(|(key, holder)| TrustKey { key, holder }).collect::<Vec<_>>()
    });
    (keys, any::<u32>()).prop_map(move |(keys, turn)| {
        let most = most.min(u32::try_from(keys.len()).unwrap());
        TrustRole { threshold: 1 + turn % most, keys }
    })
}

/// From when to when.
fn term() -> impl Strategy<Value = (Moment, Moment)> {
    (-62_135_596_800_000..253_402_300_000_000_i64, 1..1_000_000_i64)
        .prop_map(|(from, long)| (Moment(from), Moment((from + long).min(253_402_300_799_999))))
}

pub(crate) fn root() -> impl Strategy<Value = Root> {
    (1..=u32::MAX, term(), role(1, 16), role(2, 16), role(3, 1)).prop_map(
        |(version, (issued_at, expires_at), root, release, checkpoint)| Root {
            version,
            issued_at,
            expires_at,
            root,
            release,
            checkpoint,
        },
    )
}

pub(crate) fn checkpoint() -> impl Strategy<Value = Checkpoint> {
    let place = (1..=u64::MAX, digest());
    let place = place.prop_map(|(position, chain)| ChainPlace { position, chain });
    let digests = (digest(), digest(), proptest::option::of(digest()), proptest::option::of(place));
    (id(), "[!-~]{1,128}", digests, any::<u64>(), term()).prop_map(
        |(site, epoch, (view, chain, state, snapshot), position, (issued_at, expires_at))| {
            Checkpoint {
                site,
                epoch,
                view,
                position,
                chain,
                snapshot,
                state,
                issued_at,
                expires_at,
            }
        },
    )
}
