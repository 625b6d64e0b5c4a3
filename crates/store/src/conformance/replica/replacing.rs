//! Listing a view anew.

use std::sync::Arc;

use super::kitchen_with;
use crate::conformance::assert_refused;
use crate::conformance::samples::{cursor, id, positions, released, revision, said, stretch};
use crate::{CatchUp, Outgoing, ReplicaError, ReplicaStore, Statement};

/// All entries go, all revisions stay, and the new cursor may be anything.
pub async fn replacing_forgets_entries_and_keeps_revisions(
    open: impl AsyncFn() -> Arc<dyn ReplicaStore>,
) {
    let store = open().await;
    let (pear, apple) = (revision("recipe/pear", 1), revision("recipe/apple", 1));
    kitchen_with(&*store, &[&pear, &apple]).await;
    store.apply(stretch(vec![released(4, 0, &[&pear])])).await.unwrap();
    let whole = stretch(vec![released(1, 0, &[&apple]), released(2, 1, &[&apple])]);
    let whole = CatchUp { cursor: cursor("new", "other", 3), ..whole };
    store.replace(whole.clone()).await.unwrap();
    assert_eq!(positions(&store.entries().await.unwrap()), [1, 2]);
    assert_eq!(store.cursor().await.unwrap(), Some(cursor("new", "other", 3)));
    assert!(store.history(&id("recipe/pear")).await.unwrap().is_empty());
    assert!(store.revision(pear.reference.digest).await.unwrap().is_some());
    store.check().await.unwrap();
    let next = released(4, 2, &[&pear]);
    store
        .apply(CatchUp { entries: vec![next], cursor: cursor("new", "other", 4), ..whole })
        .await
        .unwrap();
    store.replace(stretch(vec![])).await.unwrap();
    assert_eq!(store.entries().await.unwrap(), []);
}

/// A view in pages must be put together first: half of one would put old standards in force.
pub async fn a_whole_view_begins_at_the_beginning(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let pear = revision("recipe/pear", 1);
    kitchen_with(&*store, &[&pear]).await;
    store.apply(stretch(vec![released(1, 0, &[&pear])])).await.unwrap();
    let second_page = stretch(vec![released(2, 1, &[&pear])]);
    assert_refused!(
        store.replace(second_page).await,
        ReplicaError::Gap { position: 2, previous: 1, last: 0 }
    );
    assert_eq!(positions(&store.entries().await.unwrap()), [1]);
}

/// A refused replacement leaves the old view as it was.
pub async fn a_refused_replacement_leaves_nothing(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let (pear, absent) = (revision("recipe/pear", 1), revision("recipe/absent", 1));
    kitchen_with(&*store, &[&pear]).await;
    let statement = said(1, Statement::Received, 5);
    let first = CatchUp { said: vec![statement], ..stretch(vec![released(1, 0, &[&pear])]) };
    store.apply(first.clone()).await.unwrap();
    let before = (store.entries().await.unwrap(), store.outbox(9).await.unwrap());
    let new = |entries| CatchUp { cursor: cursor("new", "v", 9), ..stretch(entries) };
    assert_refused!(
        store.replace(new(vec![released(1, 0, &[&absent])])).await,
        ReplicaError::Missing(_)
    );
    let speaks_of_nothing = CatchUp { said: vec![said(7, Statement::InUse, 5)], ..first };
    assert_refused!(
        store.replace(speaks_of_nothing).await,
        ReplicaError::UnknownEntry { position: 7 }
    );
    assert_eq!((store.entries().await.unwrap(), store.outbox(9).await.unwrap()), before);
    assert_eq!(store.cursor().await.unwrap(), Some(cursor("e", "v", 1)));
}

/// What a restored hub may have lost is said once more, of the entry with the same body wherever it
/// stands now; what was said of an entry that is gone is dropped.
pub async fn under_a_new_epoch_all_is_said_again(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let all = ["recipe/a", "recipe/b", "recipe/c"].map(|key| revision(key, 1));
    kitchen_with(&*store, &all.each_ref()).await;
    let [a, b, c] = &all;
    let entries = vec![released(1, 0, &[a]), released(2, 1, &[b]), released(3, 2, &[c])];
    let mut first = stretch(entries);
    first.said = [1, 2, 3].map(|position| said(position, Statement::Received, 40)).to_vec();
    first.said.push(said(1, Statement::InUse, 50));
    store.apply(first).await.unwrap();
    let ids: Vec<u64> = store.outbox(9).await.unwrap().iter().map(|outgoing| outgoing.id).collect();
    store.outbox_sent(&ids[..3]).await.unwrap();

    let whole = CatchUp {
        checkpoint: None,
        entries: vec![released(1, 0, &[a]), released(2, 1, &[c])],
        cursor: cursor("new", "v", 2),
        said: vec![said(2, Statement::Received, 90), said(2, Statement::InUse, 95)],
    };
    store.replace(whole.clone()).await.unwrap();
    let outbox = store.outbox(9).await.unwrap();
    let mut queued: Vec<_> = outbox.iter().map(|outgoing| outgoing.said.clone()).collect();
    queued.sort_by_key(|said| (said.position, said.statement));
    let expected = [
        said(1, Statement::Received, 40),
        said(1, Statement::InUse, 50),
        said(2, Statement::Received, 40),
        said(2, Statement::InUse, 95),
    ];
    assert_eq!(queued, expected);
    for Outgoing { said, body_digest, .. } in outbox {
        let named = whole.entries.iter().find(|entry| entry.position == said.position);
        assert_eq!(named.map(|entry| entry.body.digest), Some(body_digest));
    }
    store.outbox_sent(&ids).await.unwrap();
    assert_eq!(store.outbox(9).await.unwrap().len(), 4, "late news of the old outbox");
}

/// Where only the groups changed, the hub still has what it was told.
pub async fn under_the_same_epoch_nothing_is_said_again(
    open: impl AsyncFn() -> Arc<dyn ReplicaStore>,
) {
    let store = open().await;
    let (pear, apple) = (revision("recipe/pear", 1), revision("recipe/apple", 1));
    kitchen_with(&*store, &[&pear, &apple]).await;
    let mut first = stretch(vec![released(3, 0, &[&pear])]);
    first.said = vec![said(3, Statement::Received, 40), said(3, Statement::InUse, 50)];
    store.apply(first.clone()).await.unwrap();
    let sent = store.outbox(1).await.unwrap();
    assert_eq!(sent[0].said.statement, Statement::Received);
    store.outbox_sent(&[sent[0].id]).await.unwrap();
    let whole = CatchUp {
        checkpoint: None,
        entries: vec![released(2, 0, &[&apple]), released(3, 2, &[&pear])],
        cursor: cursor("e", "other", 3),
        said: vec![],
    };
    store.replace(whole).await.unwrap();
    let queued: Vec<_> =
        store.outbox(9).await.unwrap().iter().map(|out| out.said.clone()).collect();
    assert_eq!(queued, [said(3, Statement::InUse, 50)]);
    assert_eq!(store.said().await.unwrap(), first.said);
}

/// An entry that stands elsewhere, though the epoch is the same, is spoken of anew: a hub that was
/// restored without a word has been told of the old place at best.
pub async fn what_moved_is_said_again(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let pear = revision("recipe/pear", 1);
    kitchen_with(&*store, &[&pear]).await;
    let statement = said(3, Statement::Received, 40);
    let first = CatchUp { said: vec![statement], ..stretch(vec![released(3, 0, &[&pear])]) };
    store.apply(first).await.unwrap();
    let sent = store.outbox(1).await.unwrap();
    store.outbox_sent(&[sent[0].id]).await.unwrap();
    store.replace(stretch(vec![released(2, 0, &[&pear])])).await.unwrap();
    let queued: Vec<_> =
        store.outbox(9).await.unwrap().iter().map(|out| out.said.clone()).collect();
    assert_eq!(queued, [said(2, Statement::Received, 40)]);
}
