//! Revisions and what they use.

use std::sync::Arc;

use bytes::Bytes;

use crate::conformance::assert_refused;
use crate::conformance::samples::{held, revision, revision_of, using};
use crate::{HeldRevision, NewRevision, ReplicaError, ReplicaStore, digest_of};

/// Any bytes come back as they came: none, each of the 256, and a mebibyte of them.
pub async fn bytes_come_back_untouched(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let every: Vec<u8> = (0..=255).collect();
    for bytes in [Vec::new(), every.clone(), every.repeat(4096)] {
        let mut odd = held(&revision("recipe/pear", 1));
        odd.reference.digest = digest_of(&bytes);
        odd.bytes = Bytes::from(bytes);
        store.put_revisions(vec![odd.clone()]).await.unwrap();
        store.put_revisions(vec![odd.clone(), odd.clone()]).await.unwrap();
        let HeldRevision { reference, bytes } =
            store.revision(odd.reference.digest).await.unwrap().unwrap();
        assert_eq!((reference, bytes), (odd.reference, odd.bytes));
    }
    assert_eq!(store.revision(digest_of(b"unheard of")).await.unwrap(), None);
}

/// One revision of other bytes than it says refuses all that came with it.
pub async fn other_bytes_are_refused_whole(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let (good, mut bad) = (held(&revision("recipe/pear", 1)), held(&revision("recipe/apple", 1)));
    bad.bytes = "something else".into();
    let stated = bad.reference.digest;
    assert_refused!(
        store.put_revisions(vec![good.clone(), bad]).await,
        ReplicaError::DigestMismatch { stated: named, .. } if named == stated
    );
    let both = [good.reference.digest, stated];
    assert_eq!(store.missing(&both).await.unwrap().len(), 2);
}

/// What a recipe needs comes to light step by step, also where an earlier attempt broke off.
pub async fn missing_follows_pins(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let honey = revision("ingredient/honey", 1);
    let cream = using("recipe/cream", 1, &[&honey]);
    let sponge = revision("recipe/sponge", 1);
    let cake = using("recipe/cake", 1, &[&cream, &sponge]);
    let [honey_is, cream_is, sponge_is, cake_is] =
        [&honey, &cream, &sponge, &cake].map(|revision| revision.reference.digest);
    let sorted = |mut digests: Vec<_>| {
        digests.sort();
        digests
    };
    let missing = async || store.missing(&[cake_is, cake_is]).await.unwrap();
    assert_eq!(missing().await, [cake_is]);
    store.put_revisions(vec![held(&cake)]).await.unwrap();
    assert_eq!(missing().await, sorted(vec![cream_is, sponge_is]));
    store.put_revisions(vec![held(&cream)]).await.unwrap();
    assert_eq!(missing().await, sorted(vec![honey_is, sponge_is]));
    store.put_revisions(vec![held(&honey), held(&sponge)]).await.unwrap();
    assert_eq!(missing().await, []);
    assert_eq!(store.missing(&[]).await.unwrap(), []);
}

/// A closure holds what is used, at any depth and each once; several come in the order asked for.
pub async fn closure_follows_pins_and_order_is_kept(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let honey = revision("ingredient/honey", 1);
    let cream = using("recipe/cream", 1, &[&honey]);
    let cake = using("recipe/cake", 1, &[&cream, &honey, &honey]);
    let all = [&honey, &cream, &cake];
    store.put_revisions(all.map(held).to_vec()).await.unwrap();
    let mut expected: Vec<_> = all.iter().map(|revision| revision.reference.clone()).collect();
    expected.sort();
    let closure = store.closure(&[cake.reference.digest, digest_of(b"unheard of")]).await.unwrap();
    assert_eq!(closure, expected);
    let asked = [cream.reference.digest, digest_of(b"unheard of"), honey.reference.digest];
    let found = store.revisions(&asked).await.unwrap();
    let bytes: Vec<_> = found.into_iter().map(|revision| revision.bytes).collect();
    assert_eq!(bytes, [cream.bytes, honey.bytes]);
}

/// A hub restored from a backup may give a number out again; both revisions stay readable.
pub async fn one_number_may_have_two_revisions(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let two: [NewRevision; 2] =
        ["before", "after"].map(|bytes| revision_of("recipe/pear", 4, bytes));
    store.put_revisions(two.each_ref().map(held).to_vec()).await.unwrap();
    for revision in two {
        let held = store.revision(revision.reference.digest).await.unwrap().unwrap();
        assert_eq!(held.bytes, revision.bytes);
    }
}
