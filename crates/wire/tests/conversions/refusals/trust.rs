//! Roots, checkpoints and signatures.

use bytes::Bytes;
use chablon_wire::{
    Frozen, MAX_CHECKPOINT_BYTES, MAX_ROOT_BYTES, Wire, WireError, decode_checkpoint, decode_root,
    pb,
};
use prost::Message;

fn key(byte: u8) -> pb::TrustKey {
    pb::TrustKey { key: vec![byte; 32].into(), holder: format!("Key {byte}") }
}

fn role(threshold: u32, keys: &[u8]) -> Option<pb::TrustRole> {
    Some(pb::TrustRole { threshold, keys: keys.iter().map(|byte| key(*byte)).collect() })
}

fn root(change: impl FnOnce(&mut pb::TrustRoot)) -> Result<(), String> {
    let mut root = pb::TrustRoot {
        schema_version: 1,
        required_features: Vec::new(),
        version: 1,
        issued_at_ms: 1_790_812_800_000,
        expires_at_ms: 1_822_348_800_000,
        root: role(2, &[1, 2, 3]),
        release: role(1, &[4, 5]),
        checkpoint: role(1, &[6]),
    };
    change(&mut root);
    decode_root(&root.encode_to_vec()).map(drop).map_err(|error| error.to_string())
}

#[track_caller]
fn refused_root(change: impl FnOnce(&mut pb::TrustRoot), refusal: &str) {
    assert_eq!(root(change), Err(refusal.to_owned()));
}

#[test]
fn roots() {
    assert_eq!(root(|_| ()), Ok(()));
    refused_root(|r| r.version = 0, "version: is required");
    refused_root(
        |r| r.expires_at_ms = r.issued_at_ms,
        "expires_at_ms: must be after `issued_at_ms`",
    );
    refused_root(|r| r.root = None, "root: is required");
    refused_root(|r| r.root = role(0, &[1]), "root.threshold: must be 1 to the number of keys, 1");
    refused_root(
        |r| r.root = role(3, &[1, 2]),
        "root.threshold: must be 1 to the number of keys, 2",
    );
    refused_root(|r| r.release = role(1, &[]), "release.keys: must be 1 to 16 keys");
    let many: Vec<u8> = (10..27).collect();
    refused_root(|r| r.release = role(1, &many), "release.keys: must be 1 to 16 keys");
    refused_root(|r| r.checkpoint = role(2, &[6, 7]), "checkpoint.threshold: must be 1");
    let (four, five) = ("04".repeat(32), "05".repeat(32));
    refused_root(
        |r| r.release = role(1, &[5, 4]),
        &format!("release.keys[1]: `{four}` must stand before `{five}`"),
    );
    refused_root(
        |r| r.checkpoint = role(1, &[5]),
        &format!("checkpoint.keys: `{five}` has another role already"),
    );
    refused_root(
        |r| r.root.as_mut().expect("a role").keys[0].key = vec![1; 31].into(),
        "root.keys[0].key: a public key has 32 bytes, not 31",
    );
    refused_root(
        |r| r.root.as_mut().expect("a role").keys[0].holder = " ".to_owned(),
        "root.keys[0].holder: is required",
    );
    refused_root(
        |r| r.required_features = vec!["quorum".to_owned()],
        "a root of trust needs `quorum`, which this program doesn't know; bring it up to date",
    );
}

#[test]
fn checkpoints() {
    let checkpoint = |change: fn(&mut pb::Checkpoint)| {
        let mut checkpoint = pb::Checkpoint {
            schema_version: 1,
            required_features: Vec::new(),
            site: "harbour".to_owned(),
            epoch: "e".to_owned(),
            view: vec![1; 32].into(),
            position: 0,
            chain: vec![2; 32].into(),
            state: Bytes::new(),
            issued_at_ms: 0,
            expires_at_ms: 1,
            snapshot_position: 0,
            snapshot_chain: Bytes::new(),
        };
        change(&mut checkpoint);
        let decoded = decode_checkpoint(&checkpoint.encode_to_vec());
        decoded.map(drop).map_err(|error| error.to_string())
    };
    assert_eq!(checkpoint(|_| ()), Ok(()));
    let refused = |change, refusal: &str| assert_eq!(checkpoint(change), Err(refusal.to_owned()));
    refused(|c| c.site.clear(), "site: is required");
    refused(|c| c.epoch.clear(), "epoch: must be 1 to 128 visible ASCII characters");
    refused(|c| c.epoch = "a b".to_owned(), "epoch: must be 1 to 128 visible ASCII characters");
    refused(|c| c.view.clear(), "view: is required");
    refused(|c| c.chain = vec![2; 31].into(), "chain: a digest has 32 bytes, not 31");
    refused(|c| c.state = vec![2; 33].into(), "state: a digest has 32 bytes, not 33");
    refused(|c| c.expires_at_ms = 0, "expires_at_ms: must be after `issued_at_ms`");
    refused(|c| c.snapshot_position = 1, "snapshot_chain: is required");
    refused(|c| c.snapshot_chain = vec![2; 32].into(), "snapshot_position: is required");
    refused(
        |c| c.required_features = vec!["quorum".to_owned()],
        "a checkpoint needs `quorum`, which this program doesn't know; bring it up to date",
    );
}

#[test]
fn larger_than_they_may_be() {
    let root = decode_root(&vec![0; MAX_ROOT_BYTES + 1]).unwrap_err();
    assert!(matches!(root, WireError::TooLarge { limit: MAX_ROOT_BYTES, .. }), "{root:?}");
    let checkpoint = decode_checkpoint(&vec![0; MAX_CHECKPOINT_BYTES + 1]).unwrap_err();
    let refused = matches!(checkpoint, WireError::TooLarge { limit: MAX_CHECKPOINT_BYTES, .. });
    assert!(refused, "{checkpoint:?}");
}

#[test]
fn signatures() {
    let one =
        |byte: u8| pb::Signature { key: vec![byte; 32].into(), signature: vec![byte; 64].into() };
    let frozen = |signatures| {
        let frozen =
            pb::FrozenBytes { body: vec![1].into(), digest: vec![1; 32].into(), signatures };
        Frozen::from_pb(frozen).map(drop).map_err(|violation| violation.to_string())
    };
    assert_eq!(frozen(vec![one(1), one(2)]), Ok(()));
    let refused =
        |signatures, refusal: &str| assert_eq!(frozen(signatures), Err(refusal.to_owned()));
    refused((1..=17).map(one).collect(), "signatures: has 17 items; at most 16 are taken");
    let two = "02".repeat(32);
    refused(vec![one(2), one(2)], &format!("signatures[1]: `{two}` is there twice"));
    let mut short = one(1);
    short.signature = vec![1; 63].into();
    refused(vec![short], "signatures[0].signature: a signature has 64 bytes, not 63");
    let mut nobody = one(1);
    nobody.key.clear();
    refused(vec![nobody], "signatures[0].key: is required");
}
