//! Stretches that don't fit.

use std::sync::Arc;

use super::kitchen_with;
use crate::conformance::assert_refused;
use crate::conformance::samples::{
    cursor, go_back_to, held, positions, released, revision, revision_of, said, stretch, using,
    withdrawn,
};
use crate::{CatchUp, ReplicaError, ReplicaStore, Statement, digest_of};

/// An entry waits until what it releases is held, with all that this uses; so does one that goes
/// back to a revision.
pub async fn what_entries_need_must_be_held(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let honey = revision("ingredient/honey", 1);
    let cream = using("recipe/cream", 1, &[&honey]);
    let cake = using("recipe/cake", 1, &[&cream]);
    let old = revision_of("recipe/cake", 1, "an earlier one");
    kitchen_with(&*store, &[&cake]).await;
    let first = stretch(vec![released(1, 0, &[&cake])]);
    let second = stretch(vec![withdrawn(2, 1, &cake, go_back_to(&old))]);
    let refused = async |stretch: &CatchUp, absent: &crate::NewRevision| {
        let expected = [absent.reference.digest];
        assert_refused!(
            store.apply(stretch.clone()).await,
            ReplicaError::Missing(digests) if digests == expected
        );
        store.put_revisions(vec![held(absent)]).await.unwrap();
    };
    refused(&first, &cream).await;
    refused(&first, &honey).await;
    store.apply(first).await.unwrap();
    refused(&second, &old).await;
    store.apply(second).await.unwrap();
}

/// Every entry follows the one before it, the first one that which is held.
pub async fn a_gap_is_refused(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let pear = revision("recipe/pear", 1);
    kitchen_with(&*store, &[&pear]).await;
    let entry = |position, previous| released(position, previous, &[&pear]);
    let refused = async |entries, at: (u64, u64, u64)| {
        assert_refused!(
            store.apply(stretch(entries)).await,
            ReplicaError::Gap { position, previous, last } if (position, previous, last) == at
        );
    };
    refused(vec![entry(4, 2)], (4, 2, 0)).await;
    store.apply(stretch(vec![entry(2, 0)])).await.unwrap();
    refused(vec![entry(7, 5)], (7, 5, 2)).await;
    refused(vec![entry(4, 2), entry(9, 8)], (9, 8, 4)).await;
    refused(vec![entry(4, 0)], (4, 0, 2)).await;
    assert_eq!(positions(&store.entries().await.unwrap()), [2]);
}

/// Entries of another epoch, or of the view of other groups, are not mixed with those held.
pub async fn another_epoch_or_view_is_refused(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let pear = revision("recipe/pear", 1);
    kitchen_with(&*store, &[&pear]).await;
    store.apply(stretch(vec![released(1, 0, &[&pear])])).await.unwrap();
    for given in [cursor("other", "v", 2), cursor("e", "other", 2)] {
        let next = CatchUp { cursor: given.clone(), ..stretch(vec![released(2, 1, &[&pear])]) };
        assert_refused!(
            store.apply(next).await,
            ReplicaError::OtherView { held, given: named }
                if (&*held, &*named) == (&cursor("e", "v", 1), &given)
        );
    }
}

/// An entry before the cursor that is another one than is held, or isn't held, is a fork.
pub async fn another_history_is_refused(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let (pear, apple) = (revision("recipe/pear", 1), revision("recipe/apple", 1));
    kitchen_with(&*store, &[&pear, &apple]).await;
    store.apply(stretch(vec![released(1, 0, &[&pear]), released(5, 1, &[&pear])])).await.unwrap();
    for entry in [released(5, 1, &[&apple]), released(3, 1, &[&pear])] {
        let position = entry.position;
        assert_refused!(
            store.apply(stretch(vec![entry, released(6, 5, &[&apple])])).await,
            ReplicaError::Diverged { position: named } if named == position
        );
    }
    assert_eq!(positions(&store.entries().await.unwrap()), [1, 5]);
}

/// A stretch that contradicts itself is refused before anything is looked up.
pub async fn a_stretch_must_be_whole_in_itself(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let pear = revision("recipe/pear", 1);
    kitchen_with(&*store, &[&pear]).await;
    let entry = |position, previous| released(position, previous, &[&pear]);
    let swapped = stretch(vec![entry(2, 1), entry(1, 0)]);
    let twice = stretch(vec![entry(1, 0), entry(1, 0)]);
    let zero = stretch(vec![entry(0, 0)]);
    let beyond = CatchUp { cursor: cursor("e", "v", 1), ..stretch(vec![entry(2, 0)]) };
    for odd in [swapped, twice, zero, beyond] {
        assert_refused!(store.apply(odd.clone()).await, ReplicaError::Malformed(_));
        assert_refused!(store.replace(odd).await, ReplicaError::Malformed(_));
    }
    let mut other_body = stretch(vec![entry(1, 0)]);
    other_body.entries[0].body.digest = digest_of(b"something else");
    assert_refused!(store.apply(other_body.clone()).await, ReplicaError::DigestMismatch { .. });
    assert_refused!(store.replace(other_body).await, ReplicaError::DigestMismatch { .. });
}

/// A refused stretch adds no entry, moves no cursor and says nothing.
pub async fn a_refused_stretch_leaves_nothing(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let (pear, absent) = (revision("recipe/pear", 1), revision("recipe/absent", 1));
    kitchen_with(&*store, &[&pear]).await;
    let good = released(1, 0, &[&pear]);
    let said = vec![said(1, Statement::Received, 5), said(3, Statement::Received, 5)];
    let incomplete = stretch(vec![good.clone(), released(2, 1, &[&absent])]);
    let speaks_of_nothing = CatchUp { said, ..stretch(vec![good.clone()]) };
    store.apply(incomplete).await.unwrap_err();
    assert_refused!(
        store.apply(speaks_of_nothing).await,
        ReplicaError::UnknownEntry { position: 3 }
    );
    assert_eq!(store.cursor().await.unwrap(), None);
    assert_eq!(store.entries().await.unwrap(), []);
    assert_eq!(store.outbox(9).await.unwrap(), []);
    store.apply(stretch(vec![good])).await.unwrap();
}
