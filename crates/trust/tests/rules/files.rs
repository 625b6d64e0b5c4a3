//! Roots in files.

use chablon_trust::{Payload, TrustedRoot, freeze_root, root_from_file, root_to_file, sign};
use chablon_wire::WireError;

use crate::samples::{key, root, signed_root};

#[test]
fn a_root_is_carried_from_signer_to_signer() {
    let mut frozen = freeze_root(&root(1));
    for byte in [2, 1, 2] {
        frozen = root_from_file(&root_to_file(&frozen)).unwrap();
        sign(&mut frozen, Payload::Root, &key(byte));
    }
    assert_eq!(frozen, signed_root(&root(1), &[1, 2]));
    TrustedRoot::as_it_says(&frozen).unwrap();
}

#[test]
fn what_is_no_root_file_is_refused() {
    let good = root_to_file(&signed_root(&root(1), &[1, 2]));
    for bad in [&b""[..], b"chablon key 1\n", &good[1..], &good[..good.len() - 1]] {
        let refused = root_from_file(bad).unwrap_err();
        assert!(
            matches!(refused, WireError::Malformed { .. } | WireError::Invalid(_)),
            "{refused:?}"
        );
    }
    let refused = root_from_file(&vec![0; 1 << 20]).unwrap_err();
    assert!(matches!(refused, WireError::TooLarge { .. }), "{refused:?}");
}
