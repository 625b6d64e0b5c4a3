//! Roots and signatures.

use std::sync::Arc;

use chablon_model::{Audience, View};

use crate::conformance::assert_refused;
use crate::conformance::samples::{limit, release, revision, root, signature, signing};
use crate::{HubError, HubStore, digest_of};

/// Roots are kept as they came, one version after the other, and shown after a reopening.
pub async fn roots_follow_each_other(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    assert_eq!(hub.roots(0).await.unwrap(), []);
    let (one, two) = (root(1, "one"), root(2, "two"));
    assert_refused!(
        hub.add_root(two.clone()).await,
        HubError::RootConflict { expected: 1, found: 2 }
    );
    hub.add_root(one.clone()).await.unwrap();
    hub.add_root(two.clone()).await.unwrap();
    hub.add_root(one.clone()).await.unwrap();
    assert_refused!(
        hub.add_root(root(2, "another two")).await,
        HubError::RootConflict { expected: 3, found: 2 }
    );
    let mut changed = root(3, "three");
    changed.root.frozen.digest = digest_of(b"four");
    assert_refused!(hub.add_root(changed).await, HubError::DigestMismatch { .. });
    drop(hub);
    let hub = open().await;
    assert_eq!(hub.roots(0).await.unwrap(), [one.root, two.root.clone()]);
    assert_eq!(hub.roots(1).await.unwrap(), [two.root]);
    assert_eq!(hub.roots(2).await.unwrap(), []);
}

/// Signatures that come later stand in the place of those before; the body stays.
pub async fn entries_are_signed_anew(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = revision("recipe/pear-compote", 1);
    let commit = release("first", Audience::All, &[&pear]);
    hub.release(commit.clone()).await.unwrap();
    let body_digest = commit.parts[0].body.digest;
    let other = digest_of(b"another");
    let with = async |second| hub.sign_entries(signing(7, &[(1, body_digest), second])).await;
    assert_refused!(with((2, body_digest)).await, HubError::UnknownEntry { position: 2 });
    assert_refused!(with((1, body_digest)).await, HubError::Malformed(_));
    let refused = hub.sign_entries(signing(7, &[(1, other)])).await;
    assert_refused!(refused, HubError::EntryMismatch { position: 1, .. });
    let body = async || {
        let page = hub.entries(&View::Whole, 0, limit(5)).await.unwrap();
        page.entries[0].body.clone()
    };
    assert_eq!(body().await, commit.parts[0].body, "what was refused left no trace");
    hub.sign_entries(signing(7, &[(1, body_digest)])).await.unwrap();
    let now = body().await;
    assert_eq!((now.digest, now.signatures), (body_digest, vec![signature(7)]));
}
