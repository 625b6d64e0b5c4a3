//! Bytes from anywhere: refused or read, never a panic, and what was read is whole.

use chablon_wire::{
    BodyKind, MAX_BODY_BYTES, WireError, decode_manifest, decode_revision, decode_withdrawal,
    encode_manifest, encode_revision, encode_withdrawal,
};
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::sample::Index;

use crate::values;

/// One change to bytes, such as a bad line or a bad hand makes.
#[derive(Clone, Debug)]
enum Damage {
    Set(Index, u8),
    Insert(Index, u8),
    Remove(Index),
    Cut(Index),
    Double(Index),
}

fn damage() -> impl Strategy<Value = Damage> {
    let at = any::<Index>;
    prop_oneof![
        (at(), any::<u8>()).prop_map(|(index, byte)| Damage::Set(index, byte)),
        (at(), any::<u8>()).prop_map(|(index, byte)| Damage::Insert(index, byte)),
        at().prop_map(Damage::Remove),
        at().prop_map(Damage::Cut),
        at().prop_map(Damage::Double),
    ]
}

fn inflict(bytes: &mut Vec<u8>, damage: &Damage) {
    if bytes.is_empty() {
        return;
    }
    let length = bytes.len();
    match damage {
        Damage::Set(index, byte) => bytes[index.index(length)] = *byte,
        Damage::Insert(index, byte) => bytes.insert(index.index(length), *byte),
        Damage::Remove(index) => drop(bytes.remove(index.index(length))),
        Damage::Cut(index) => bytes.truncate(index.index(length)),
        Damage::Double(index) => bytes.extend_from_within(index.index(length)..),
    }
}

fn damaged(mut bytes: Vec<u8>, damages: &[Damage]) -> Vec<u8> {
    for damage in damages {
        inflict(&mut bytes, damage);
    }
    bytes
}

/// Whatever is taken can be written again and read as the same.
fn taken_whole(bytes: &[u8]) {
    if let Ok(revision) = decode_revision(bytes) {
        assert_eq!(decode_revision(&encode_revision(&revision)), Ok(revision));
    }
    if let Ok(manifest) = decode_manifest(bytes) {
        assert_eq!(decode_manifest(&encode_manifest(&manifest)), Ok(manifest));
    }
    if let Ok(withdrawal) = decode_withdrawal(bytes) {
        assert_eq!(decode_withdrawal(&encode_withdrawal(&withdrawal)), Ok(withdrawal));
    }
}

proptest! {
    #[test]
    fn arbitrary_bytes(bytes in vec(any::<u8>(), 0..400)) {
        taken_whole(&bytes);
    }

    #[test]
    fn damaged_revisions(revision in values::revision(), damages in vec(damage(), 1..4)) {
        taken_whole(&damaged(encode_revision(&revision), &damages));
    }

    #[test]
    fn damaged_manifests(manifest in values::manifest(), damages in vec(damage(), 1..4)) {
        taken_whole(&damaged(encode_manifest(&manifest), &damages));
    }

    #[test]
    fn damaged_withdrawals(withdrawal in values::withdrawal(), damages in vec(damage(), 1..4)) {
        taken_whole(&damaged(encode_withdrawal(&withdrawal), &damages));
    }
}

#[test]
fn size_is_looked_at_before_anything_else() {
    // No message: the first byte already is malformed.
    let bytes = vec![0xff; MAX_BODY_BYTES + 1];
    let refused = decode_revision(&bytes).unwrap_err();
    assert!(matches!(refused, WireError::TooLarge { size, .. } if size == bytes.len()));
    let refused = decode_revision(&bytes[1..]).unwrap_err();
    assert!(matches!(refused, WireError::Malformed { .. }), "{refused}");
}

#[test]
fn nesting_ends() {
    // A group (an old kind of field, opened by tag 3) within a group, and so on, none closed.
    let field_500 = [0xa3, 0x1f];
    let bytes = field_500.repeat(100_000);
    let refused = decode_revision(&bytes).unwrap_err();
    assert!(matches!(refused, WireError::Malformed { .. }), "{refused}");
}

#[test]
fn a_body_of_the_other_kind_is_refused() {
    use proptest::strategy::ValueTree;
    let mut runner = proptest::test_runner::TestRunner::deterministic();
    let manifest = values::manifest().new_tree(&mut runner).unwrap().current();
    let bytes = encode_manifest(&manifest);
    assert!(BodyKind::Release.decode(&bytes).is_ok());
    assert!(BodyKind::Withdrawal.decode(&bytes).is_err());
}
