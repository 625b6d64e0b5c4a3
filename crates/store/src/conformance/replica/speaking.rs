//! What the kitchen says of entries.

use std::sync::Arc;

use chablon_model::{Digest, Moment};

use super::kitchen_with;
use crate::conformance::assert_refused;
use crate::conformance::samples::{released, revision, said, stretch};
use crate::{CatchUp, ReplicaError, ReplicaStore, Said, Statement};

/// Three entries; gives the digests of their bodies.
async fn three_entries(store: &dyn ReplicaStore) -> Vec<Digest> {
    let all = [1, 2, 3].map(|number| revision("recipe/pear", number));
    kitchen_with(store, &all.each_ref()).await;
    let entries = (1..).zip(&all).map(|(at, one)| released(at, at - 1, &[one])).collect();
    store.apply(stretch(entries)).await.unwrap();
    store.entries().await.unwrap().iter().map(|entry| entry.body.digest).collect()
}

/// The oldest statement comes first; what was sent doesn't come again.
pub async fn the_outbox_is_in_order_and_empties(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let bodies = three_entries(&*store).await;
    let statements = [
        said(2, Statement::InUse, 30),
        said(1, Statement::InUse, 20),
        said(3, Statement::Refused, 10),
    ];
    for statement in &statements {
        store.say(statement.clone()).await.unwrap();
    }
    let outbox = store.outbox(9).await.unwrap();
    assert_eq!(outbox.iter().map(|outgoing| outgoing.said.clone()).collect::<Vec<_>>(), statements);
    let named: Vec<_> = outbox.iter().map(|outgoing| outgoing.body_digest).collect();
    assert_eq!(named, [bodies[1], bodies[0], bodies[2]]);
    assert_eq!(store.outbox(2).await.unwrap(), outbox[..2]);
    store.outbox_sent(&[outbox[0].id, outbox[2].id, u64::MAX]).await.unwrap();
    assert_eq!(store.outbox(9).await.unwrap(), outbox[1..2]);
    store.outbox_sent(&[outbox[1].id]).await.unwrap();
    assert_eq!(store.outbox(9).await.unwrap(), []);
    let [two, one, three] = statements;
    let everything = [one, two, three];
    assert_eq!(store.said().await.unwrap(), everything);
}

/// A later use or refusal takes the place of an earlier one and is sent, even where that one is
/// being sent meanwhile; an earlier one changes nothing.
pub async fn a_later_word_renews_an_earlier_one(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    three_entries(&*store).await;
    let first = said(1, Statement::Refused, 20);
    store.say(first.clone()).await.unwrap();
    let sending = store.outbox(9).await.unwrap();
    let later = Said { at: Moment(30), reason: Some("no oven".to_owned()), ..first.clone() };
    store.say(later.clone()).await.unwrap();
    store.outbox_sent(&[sending[0].id]).await.unwrap();
    store.say(first).await.unwrap();
    let outbox = store.outbox(9).await.unwrap();
    assert_eq!((outbox.len(), &outbox[0].said), (1, &later));
    store.outbox_sent(&[outbox[0].id]).await.unwrap();
    assert_eq!(store.said().await.unwrap(), [later]);
    assert_eq!(store.outbox(9).await.unwrap(), []);
}

/// The first moment stays, and a statement that was sent isn't queued again.
pub async fn saying_again_changes_nothing(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    three_entries(&*store).await;
    let first = said(1, Statement::Received, 20);
    let later = Said { at: Moment(99), ..first.clone() };
    store.say(first.clone()).await.unwrap();
    store.say(later.clone()).await.unwrap();
    let outbox = store.outbox(9).await.unwrap();
    assert_eq!((outbox.len(), &outbox[0].said), (1, &first));
    store.outbox_sent(&[outbox[0].id]).await.unwrap();
    store.say(later).await.unwrap();
    assert_eq!(store.outbox(9).await.unwrap(), []);
    store.say(said(1, Statement::InUse, 30)).await.unwrap();
    assert_eq!(store.outbox(9).await.unwrap().len(), 1);
}

/// A stretch queues statements about its own entries and about earlier ones.
pub async fn statements_come_with_a_stretch(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    three_entries(&*store).await;
    let fourth = revision("recipe/apple", 1);
    kitchen_with(&*store, &[&fourth]).await;
    let statements = vec![said(4, Statement::Received, 60), said(2, Statement::Received, 61)];
    let next = CatchUp { said: statements.clone(), ..stretch(vec![released(4, 3, &[&fourth])]) };
    store.apply(next.clone()).await.unwrap();
    store.apply(next).await.unwrap();
    let queued: Vec<_> =
        store.outbox(9).await.unwrap().iter().map(|out| out.said.clone()).collect();
    assert_eq!(queued, statements);
}

/// Nothing is said of an entry that isn't held.
pub async fn only_held_entries_are_spoken_of(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    three_entries(&*store).await;
    for position in [0, 4, u64::MAX] {
        assert_refused!(
            store.say(said(position, Statement::InUse, 20)).await,
            ReplicaError::UnknownEntry { position: named } if named == position
        );
    }
    assert_eq!(store.said().await.unwrap(), []);
}
