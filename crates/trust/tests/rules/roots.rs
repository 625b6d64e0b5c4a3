//! Roots: pinned, rotated, stolen from.

use chablon_model::Root;
use chablon_trust::{Payload, TrustError, TrustedRoot};
use chablon_wire::{Frozen, MAX_ROOT_BYTES};

use crate::samples::{checkpoint, id, role, root, signed, signed_checkpoint, signed_root};

fn first() -> TrustedRoot {
    let frozen = signed_root(&root(1), &[1, 2]);
    TrustedRoot::pinned(&frozen, frozen.digest).unwrap()
}

fn too_few(result: Result<TrustedRoot, TrustError>, found: u32) {
    match result {
        Err(TrustError::TooFewSignatures { found: counted, needed: 2, .. }) if counted == found => {
        }
        other => panic!("not too few signatures: {other:?}"),
    }
}

#[test]
fn a_root_leads_from_version_to_version() {
    let next = Root { root: role(2, &[3, 4, 5]), ..root(2) };
    // By two of the old keys and two of its own, one of which is both.
    let second = first().next(&signed_root(&next, &[1, 3, 4])).unwrap();
    assert_eq!(second.root(), &next);
    let third = Root { root: role(1, &[6]), ..root(3) };
    let third = second.next(&signed_root(&third, &[4, 5, 6])).unwrap();
    assert_eq!(third.root().version, 3);
}

#[test]
fn a_root_needs_the_keys_of_the_version_before_and_its_own() {
    let next = Root { root: role(2, &[4, 5]), ..root(2) };
    too_few(first().next(&signed_root(&next, &[4, 5])), 0);
    too_few(first().next(&signed_root(&next, &[1, 4, 5])), 1);
    too_few(first().next(&signed_root(&next, &[1, 2])), 0);
    too_few(first().next(&signed_root(&next, &[1, 2, 4])), 1);
    first().next(&signed_root(&next, &[1, 2, 4, 5])).unwrap();
}

#[test]
fn one_key_stolen_below_the_threshold_rotates_nothing() {
    // The thief holds key 1 and makes a root in which it is enough.
    let thief = Root { root: role(1, &[1]), release: role(1, &[66]), ..root(2) };
    too_few(first().next(&signed_root(&thief, &[1])), 1);
    // Signing twice with it, or under another's name, adds nothing.
    let mut twice = signed_root(&thief, &[1]);
    let mut again = twice.signatures[0];
    again.key = crate::samples::key(2).public();
    twice.signatures.push(again);
    too_few(first().next(&twice), 1);
}

#[test]
fn a_root_goes_neither_back_nor_over_a_version() {
    for found in [1, 3] {
        let refused = first().next(&signed_root(&root(found), &[1, 2])).unwrap_err();
        assert_eq!(refused, TrustError::WrongVersion { expected: 2, found });
    }
}

#[test]
fn a_root_other_than_the_pinned_one_is_refused() {
    let pinned = signed_root(&root(1), &[1, 2]);
    let other = Root { release: role(1, &[66]), ..root(1) };
    let refused = TrustedRoot::pinned(&signed_root(&other, &[1, 2]), pinned.digest).unwrap_err();
    assert!(matches!(refused, TrustError::DigestMismatch { .. }), "{refused:?}");
    // The pinned digest stated for other bytes.
    let lying = Frozen { digest: pinned.digest, ..signed_root(&other, &[1, 2]) };
    let refused = TrustedRoot::pinned(&lying, pinned.digest).unwrap_err();
    assert!(matches!(refused, TrustError::DigestMismatch { .. }), "{refused:?}");
    // The right bytes, signed by too few.
    too_few(TrustedRoot::pinned(&signed_root(&root(1), &[1]), pinned.digest), 1);
}

#[test]
fn endless_data_is_not_even_hashed() {
    let bytes = vec![0; MAX_ROOT_BYTES + 1];
    // The digest is wrong as well; what is told first was looked at first.
    let frozen = Frozen::unsigned(bytes.into(), chablon_model::Digest([0; 32]));
    for refused in [
        TrustedRoot::as_it_says(&frozen).unwrap_err(),
        first().next(&frozen).unwrap_err(),
        first().checkpoint(&frozen).unwrap_err(),
        TrustedRoot::pinned(&frozen, frozen.digest).unwrap_err(),
    ] {
        assert!(matches!(refused, TrustError::TooLarge { .. }), "{refused:?}");
    }
    let body = Frozen::unsigned(vec![0; (1 << 20) + 1].into(), frozen.digest);
    let refused = first().verify_entry(Payload::ReleasePart, &body).unwrap_err();
    assert!(matches!(refused, TrustError::TooLarge { .. }), "{refused:?}");
}

#[test]
fn arbitrary_content_is_no_entry() {
    let trusted = first();
    let body = |keys: &[u8]| signed(Payload::ReleasePart, b"a manifest".to_vec(), keys);
    let verify = |body: &Frozen| trusted.verify_entry(Payload::ReleasePart, body);
    verify(&body(&[11])).unwrap();
    verify(&body(&[12, 66])).unwrap();
    for keys in [&[][..], &[66], &[1, 2], &[21]] {
        let refused = verify(&body(keys)).unwrap_err();
        assert!(matches!(refused, TrustError::TooFewSignatures { .. }), "{keys:?}: {refused:?}");
    }
    let other = Frozen {
        signatures: body(&[11]).signatures,
        ..signed(Payload::ReleasePart, b"another".to_vec(), &[])
    };
    assert!(matches!(verify(&other), Err(TrustError::TooFewSignatures { .. })));
    let changed = Frozen { bytes: b"b manifest".to_vec().into(), ..body(&[11]) };
    assert!(matches!(verify(&changed), Err(TrustError::DigestMismatch { .. })));
}

#[test]
fn a_wrong_file_is_taken_for_no_other() {
    let trusted = first();
    // A release key signs a release; shown as a withdrawal it counts for nothing.
    let release = signed(Payload::ReleasePart, b"a manifest".to_vec(), &[11]);
    assert!(trusted.verify_entry(Payload::Withdrawal, &release).is_err());
    // A checkpoint signed by a release key, a root shown as a checkpoint.
    let shown = signed_checkpoint(&checkpoint("e", 1, 0), &[11]);
    assert!(matches!(trusted.checkpoint(&shown), Err(TrustError::TooFewSignatures { .. })));
    assert!(trusted.checkpoint(&signed_root(&root(1), &[21])).is_err());
    // What a hub signed as a checkpoint is one, whatever else it is asked to be.
    let signed = signed_checkpoint(&checkpoint("e", 1, 0), &[21]);
    assert_eq!(trusted.checkpoint(&signed).unwrap().site, id("harbour"));
    assert!(TrustedRoot::as_it_says(&signed).is_err());
}

#[test]
fn two_must_sign_where_two_are_asked_for() {
    let both = Root { release: role(2, &[11, 12]), ..root(1) };
    let trusted = TrustedRoot::as_it_says(&signed_root(&both, &[1, 2])).unwrap();
    let verify = |keys: &[u8]| {
        trusted
            .verify_entry(Payload::ReleasePart, &signed(Payload::ReleasePart, b"x".to_vec(), keys))
    };
    assert!(matches!(verify(&[11]), Err(TrustError::TooFewSignatures { found: 1, needed: 2, .. })));
    verify(&[11, 12]).unwrap();
}
