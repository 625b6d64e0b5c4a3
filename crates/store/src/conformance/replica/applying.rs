//! Catching up.

use std::sync::Arc;

use chablon_model::NextStep;

use super::kitchen_with;
use crate::conformance::samples::{
    cursor, decided, go_back_to, id, positions, released, revision, stretch, using, withdrawn,
};
use crate::{CatchUp, EntryKind, Integrity, NewEntry, ReplicaStore};

/// Entries are shown as they came and the cursor stands where it was put.
pub async fn entries_are_taken_and_the_cursor_moves(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let [one, two] = [1, 2].map(|number| revision("recipe/pear", number));
    kitchen_with(&*store, &[&one, &two]).await;
    let first = stretch(vec![released(2, 0, &[&one]), released(5, 2, &[&two])]);
    let second = stretch(vec![withdrawn(6, 5, &two, go_back_to(&one)), decided(8, 6, &one)]);
    for (stretch, end) in [(first.clone(), 5), (second.clone(), 8)] {
        store.apply(stretch).await.unwrap();
        assert_eq!(store.cursor().await.unwrap(), Some(cursor("e", "v", end)));
    }
    let entries = store.entries().await.unwrap();
    assert_eq!(positions(&entries), [2, 5, 6, 8]);
    let given: Vec<NewEntry> = [first.entries, second.entries].concat();
    for (entry, given) in entries.iter().zip(&given) {
        assert_eq!(entry.body, given.body);
        assert_eq!(entry.recorded_at, given.recorded_at);
        assert_eq!(entry.previous_position, given.previous_position);
        assert_eq!(entry.kind, EntryKind::of(&given.says));
    }
    store.apply(CatchUp { cursor: cursor("e", "v", 8), ..stretch(vec![]) }).await.unwrap();
}

/// A stretch that is held already, or in part, does no harm; the cursor never goes back.
pub async fn applying_again_changes_nothing(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let all = [1, 2, 3].map(|number| revision("recipe/pear", number));
    kitchen_with(&*store, &all.each_ref()).await;
    let entries =
        [released(1, 0, &[&all[0]]), released(2, 1, &[&all[1]]), released(3, 2, &[&all[2]])];
    for (from, to) in [(0, 2), (0, 2), (0, 1), (1, 3), (0, 0), (0, 3)] {
        store.apply(stretch(entries[from..to].to_vec())).await.unwrap();
    }
    assert_eq!(positions(&store.entries().await.unwrap()), [1, 2, 3]);
    assert_eq!(store.cursor().await.unwrap(), Some(cursor("e", "v", 3)));
    store.check().await.unwrap();
}

/// What concerned others moves the cursor on; the next entry joins the last one that is held.
pub async fn a_cursor_may_pass_the_last_entry(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let pear = revision("recipe/pear", 1);
    kitchen_with(&*store, &[&pear]).await;
    let to = |end, entries| CatchUp { cursor: cursor("e", "v", end), ..stretch(entries) };
    store.apply(to(4, vec![])).await.unwrap();
    store.apply(to(9, vec![released(7, 0, &[&pear])])).await.unwrap();
    store.apply(to(12, vec![])).await.unwrap();
    store.apply(to(20, vec![withdrawn(14, 7, &pear, NextStep::MakeNone)])).await.unwrap();
    assert_eq!(positions(&store.entries().await.unwrap()), [7, 14]);
    assert_eq!(store.cursor().await.unwrap(), Some(cursor("e", "v", 20)));
    store.check().await.unwrap();
}

/// The history of a document is every entry that releases or withdraws it.
pub async fn history_is_that_of_one_document(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let (pear, apple) = (revision("recipe/pear", 1), revision("recipe/apple", 1));
    let namesake = revision("prices/pear", 1);
    kitchen_with(&*store, &[&pear, &apple, &namesake]).await;
    let entries = vec![
        released(1, 0, &[&pear]),
        released(2, 1, &[&apple, &namesake]),
        released(3, 2, &[&apple, &pear]),
        withdrawn(4, 3, &pear, NextStep::MakeNone),
    ];
    store.apply(stretch(entries)).await.unwrap();
    let history = async |key: &str| positions(&store.history(&id(key)).await.unwrap());
    assert_eq!(history("recipe/pear").await, [1, 3, 4]);
    assert_eq!(history("recipe/apple").await, [2, 3]);
    assert!(history("ingredient/pear").await.is_empty());
}

/// A site that joined late needn't fetch what is withdrawn and never came.
pub async fn what_never_came_may_be_withdrawn(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    kitchen_with(&*store, &[]).await;
    let absent = revision("recipe/pear", 1);
    let stop = withdrawn(8, 0, &absent, NextStep::MakeNone);
    store.apply(stretch(vec![stop])).await.unwrap();
    assert_eq!(store.history(&absent.reference.key).await.unwrap().len(), 1);
    store.check().await.unwrap();
}

/// A check of a sound store says how much it looked through.
pub async fn a_check_counts_what_is_held(open: impl AsyncFn() -> Arc<dyn ReplicaStore>) {
    let store = open().await;
    let honey = revision("ingredient/honey", 1);
    let cream = using("recipe/cream", 1, &[&honey]);
    let spare = revision("recipe/spare", 1);
    kitchen_with(&*store, &[&honey, &cream, &spare]).await;
    let entries = vec![released(1, 0, &[&cream]), released(2, 1, &[&honey])];
    store.apply(stretch(entries)).await.unwrap();
    assert_eq!(store.check().await.unwrap(), Integrity { revisions: 3, entries: 2 });
}
