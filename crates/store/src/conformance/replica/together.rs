//! Several at once, and those who give up.

use std::sync::Arc;

use tokio::task::JoinSet;

use super::kitchen_with;
use crate::conformance::drop_after;
use crate::conformance::samples::{cursor, positions, released, revision, said, stretch};
use crate::{CatchUp, Integrity, NewRevision, ReplicaStore, Statement};

/// Stretches of two entries each, which join, with a statement about the second.
fn stretches(revisions: &[NewRevision]) -> Vec<CatchUp> {
    let entry = |at: u64, revision| released(at, at - 1, &[revision]);
    let pairs = (1..).step_by(2).zip(revisions.chunks_exact(2));
    pairs
        .map(|(at, pair)| CatchUp {
            said: vec![said(at + 1, Statement::Received, 10)],
            ..stretch(vec![entry(at, &pair[0]), entry(at + 1, &pair[1])])
        })
        .collect()
}

fn forty() -> Vec<NewRevision> {
    (1..=40).map(|number| revision("recipe/pear", number)).collect()
}

/// Two who catch up at once, from the same hub, leave what one would have left.
pub async fn two_catch_ups_at_once_do_no_harm(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let revisions = forty();
    kitchen_with(&*store, &revisions.iter().collect::<Vec<_>>()).await;
    let mut catching_up = JoinSet::new();
    for _ in 0..4 {
        let (store, stretches) = (store.clone(), stretches(&revisions));
        catching_up.spawn(async move {
            for stretch in stretches {
                store.apply(stretch).await.unwrap();
            }
        });
    }
    catching_up.join_all().await;
    assert!(positions(&store.entries().await.unwrap()).into_iter().eq(1..=40));
    assert_eq!(store.cursor().await.unwrap(), Some(cursor("e", "v", 40)));
    assert_eq!(store.outbox(100).await.unwrap().len(), 20);
    assert_eq!(store.check().await.unwrap(), Integrity { revisions: 40, entries: 40 });
}

/// Changes whose callers give up at any time are there as a whole or not at all.
pub async fn dropped_changes_happen_wholly_or_not_at_all(
    open: impl AsyncFn() -> Arc<dyn ReplicaStore>,
) {
    let store = open().await;
    let revisions = forty();
    kitchen_with(&*store, &revisions.iter().collect::<Vec<_>>()).await;
    for (round, stretch) in (0..).zip(stretches(&revisions)) {
        drop_after(round * 131 % 1500, store.apply(stretch.clone())).await;
        store.apply(stretch).await.unwrap();
        let entries = store.entries().await.unwrap();
        assert!(positions(&entries).into_iter().eq(1..=2 * (round + 1)));
        assert_eq!(store.said().await.unwrap().len() as u64, round + 1);
    }
    store.check().await.unwrap();
}
