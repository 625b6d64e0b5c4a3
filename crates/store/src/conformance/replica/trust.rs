//! Whom a kitchen trusts, and what was vouched for.

use std::sync::Arc;

use chablon_model::Moment;

use super::kitchen_with;
use crate::conformance::assert_refused;
use crate::conformance::samples::{cursor, released, revision, signed, stretch};
use crate::{CatchUp, NewCheckpoint, ReplicaError, ReplicaStore, digest_of};

#[expect(clippy::unnecessary_wraps, reason = "as a catch-up has it")]
fn checkpoint(text: &str, issued_at: i64) -> Option<NewCheckpoint> {
    Some(NewCheckpoint { frozen: signed(text.to_owned()), issued_at: Moment(issued_at) })
}

async fn kept(store: &dyn ReplicaStore) -> Option<String> {
    let frozen = store.trust().await.unwrap()?.checkpoint?;
    Some(String::from_utf8(frozen.bytes.to_vec()).unwrap())
}

/// A root is pinned once enrolled, renewed by a later version and by none else.
pub async fn a_root_never_goes_back(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let root = |text: &str| signed(text.to_owned());
    assert_refused!(store.trust_root(1, root("one")).await, ReplicaError::NotEnrolled);
    kitchen_with(&*store, &[]).await;
    assert_eq!(store.trust().await.unwrap(), None);
    let mut changed = root("one");
    changed.digest = digest_of(b"two");
    assert_refused!(store.trust_root(1, changed).await, ReplicaError::DigestMismatch { .. });
    for (given, version, text) in [(2, 2, "2"), (1, 2, "2"), (2, 2, "2"), (3, 3, "3")] {
        store.trust_root(given, root(&given.to_string())).await.unwrap();
        let trust = store.trust().await.unwrap().unwrap();
        assert_eq!((trust.version, trust.root), (version, root(text)));
        assert_eq!(trust.checkpoint, None);
    }
    drop(store);
    assert_eq!(open().await.trust().await.unwrap().unwrap().version, 3);
}

/// The checkpoint moves with the cursor, in one: further, or as far and younger, never back.
pub async fn the_newest_checkpoint_is_kept(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let all = [1, 2].map(|number| revision("recipe/pear", number));
    kitchen_with(&*store, &all.each_ref()).await;
    store.trust_root(1, signed("root".to_owned())).await.unwrap();
    let one = || vec![released(1, 0, &[&all[0]])];
    let two = || vec![released(2, 1, &[&all[1]])];
    let apply = async |entries, checkpoint| {
        store.apply(CatchUp { checkpoint, ..stretch(entries) }).await.unwrap();
        kept(&*store).await
    };
    assert_eq!(apply(one(), checkpoint("a", 50)).await.as_deref(), Some("a"));
    assert_eq!(apply(two(), checkpoint("b", 40)).await.as_deref(), Some("b"), "it reaches further");
    assert_eq!(apply(two(), checkpoint("c", 39)).await.as_deref(), Some("b"), "it is older");
    assert_eq!(apply(two(), checkpoint("d", 41)).await.as_deref(), Some("d"), "it is younger");
    assert_eq!(
        apply(one(), checkpoint("e", 99)).await.as_deref(),
        Some("d"),
        "it reaches less far"
    );
    assert_eq!(apply(two(), None).await.as_deref(), Some("d"), "none is no other");
    let gap =
        CatchUp { checkpoint: checkpoint("f", 99), ..stretch(vec![released(9, 8, &[&all[0]])]) };
    assert_refused!(store.apply(gap).await, ReplicaError::Gap { .. });
    assert_eq!(kept(&*store).await.as_deref(), Some("d"), "what is refused vouches for nothing");
    let mut changed = checkpoint("g", 99);
    changed.as_mut().unwrap().frozen.digest = digest_of(b"h");
    let refused = store.apply(CatchUp { checkpoint: changed, ..stretch(two()) }).await;
    assert_refused!(refused, ReplicaError::DigestMismatch { .. });
    store.trust_root(2, signed("next root".to_owned())).await.unwrap();
    drop(store);
    assert_eq!(kept(&*open().await).await.as_deref(), Some("d"));
}

/// A whole view that is listed anew brings its own checkpoint, whatever was kept.
pub async fn a_new_view_brings_its_checkpoint(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let pear = revision("recipe/pear", 1);
    kitchen_with(&*store, &[&pear]).await;
    store.trust_root(1, signed("root".to_owned())).await.unwrap();
    let entries = || vec![released(7, 0, &[&pear])];
    store.apply(CatchUp { checkpoint: checkpoint("a", 50), ..stretch(entries()) }).await.unwrap();
    let whole = |text| CatchUp {
        cursor: cursor("another", "v", 7),
        checkpoint: checkpoint(text, 40),
        ..stretch(entries())
    };
    store.replace(whole("b")).await.unwrap();
    assert_eq!(kept(&*store).await.as_deref(), Some("b"));
    let beyond = CatchUp { entries: vec![released(3, 2, &[&pear])], ..whole("c") };
    assert_refused!(store.replace(beyond).await, ReplicaError::Gap { .. });
    assert_eq!(kept(&*store).await.as_deref(), Some("b"));
}
