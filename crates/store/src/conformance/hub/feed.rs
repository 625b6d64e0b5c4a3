//! Positions and pages.

use std::sync::Arc;

use chablon_model::{Audience, View};

use crate::conformance::samples::{
    groups, id, limit, parts, positions, release, revision, withdrawal,
};
use crate::{Committed, EntryKind, FeedState, HubStore, NewRevision};

/// A hub begins at position 0, with nothing in it.
pub async fn an_empty_hub_stands_at_zero(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let FeedState { epoch, position, oldest } = hub.state().await.unwrap();
    assert!(!epoch.as_str().is_empty());
    assert_eq!((position, oldest), (0, 0));
    let page = hub.entries(&View::Whole, 0, limit(10)).await.unwrap();
    assert!(page.entries.is_empty() && !page.more);
    assert_eq!((page.end(), page.view), (0, None));
    assert!(hub.heads(&View::Whole, None, limit(10)).await.unwrap().is_empty());
    assert!(hub.sites().await.unwrap().is_empty());
}

/// The first entry is at 1 and each following one at the next.
pub async fn positions_are_dense_and_start_at_one(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    for number in 1..=5 {
        let pear = revision("recipe/pear-compote", number);
        let commit = release(&format!("r{number}"), Audience::All, &[&pear]);
        let at = u64::from(number);
        let epoch = hub.state().await.unwrap().epoch;
        let expected = Committed { epoch, first_position: at, last_position: at, repeated: false };
        assert_eq!(hub.release(commit).await.unwrap(), expected);
        assert_eq!(hub.state().await.unwrap().position, at);
    }
}

/// Stores some documents and releases them in parts: 3 to all, 1 to a group, 2 to all.
async fn six_parts(hub: &dyn HubStore) -> [NewRevision; 3] {
    let documents = ["recipe/pear-compote", "recipe/honey-bavarois", "recipe/buckwheat-sponge"]
        .map(|key| revision(key, 1));
    let [pear, honey, buckwheat] = &documents;
    let mut first = parts(
        "first",
        &[(Audience::All, &[pear]), (groups(&["city"]), &[honey]), (Audience::All, &[buckwheat])],
    );
    first.revisions = documents.to_vec();
    hub.release(first).await.unwrap();
    hub.release(parts("second", &[(groups(&["city"]), &[pear])])).await.unwrap();
    let third = parts("third", &[(Audience::All, &[pear]), (Audience::All, &[honey])]);
    hub.release(third).await.unwrap();
    documents
}

/// The parts of a release stand side by side, in their order.
pub async fn parts_take_consecutive_positions(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    six_parts(&*hub).await;
    let of = async |name: &str| hub.release_positions(&id(name)).await.unwrap().unwrap();
    let spans = [of("first").await, of("second").await, of("third").await];
    assert_eq!(spans, [1..=3, 4..=4, 5..=6]);
    let page = hub.entries(&View::Whole, 0, limit(10)).await.unwrap();
    let bodies: Vec<_> = page.entries.iter().map(|entry| entry.body.bytes.clone()).collect();
    assert_eq!(bodies[1], "release first, part 2");
    assert_eq!(bodies[5], "release third, part 2");
}

/// Whatever the page size, all parts of a release are on one page.
pub async fn a_page_never_splits_a_release(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    six_parts(&*hub).await;
    let page = async |after, size| {
        let page = hub.entries(&View::Whole, after, limit(size)).await.unwrap();
        (positions(&page.entries), page.more)
    };
    assert_eq!(page(0, 1).await, (vec![1, 2, 3], true));
    assert_eq!(page(0, 3).await, (vec![1, 2, 3], true));
    assert_eq!(page(0, 4).await, (vec![1, 2, 3, 4], true));
    assert_eq!(page(0, 5).await, (vec![1, 2, 3, 4, 5, 6], false));
    assert_eq!(page(3, 1).await, (vec![4], true));
    assert_eq!(page(4, 1).await, (vec![5, 6], false));
}

/// Reading on from each page's end shows every entry once.
pub async fn pages_join_to_the_whole_feed(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    six_parts(&*hub).await;
    for size in 1..=7 {
        let (mut after, mut seen) = (0, Vec::new());
        loop {
            let page = hub.entries(&View::Whole, after, limit(size)).await.unwrap();
            seen.extend(positions(&page.entries));
            after = page.end();
            if !page.more {
                break;
            }
        }
        assert_eq!(seen, [1, 2, 3, 4, 5, 6], "in pages of {size}");
        assert_eq!(after, 6);
    }
}

/// At the end, and beyond it, there is nothing and nothing more.
pub async fn reading_past_the_end_gives_an_empty_page(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    six_parts(&*hub).await;
    for after in [6, 7, u64::MAX] {
        let page = hub.entries(&View::Whole, after, limit(5)).await.unwrap();
        assert!(page.entries.is_empty() && !page.more);
        assert_eq!(page.state.position, 6);
    }
}

/// An entry is shown with its moment, its kind, its bytes and their digest.
pub async fn a_page_shows_what_was_committed(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = revision("recipe/pear-compote", 1);
    let commit = release("first", Audience::All, &[&pear]);
    hub.release(commit.clone()).await.unwrap();
    let notice = withdrawal("second", &pear, chablon_model::NextStep::MakeNone);
    hub.withdraw(notice.clone()).await.unwrap();
    let page = hub.entries(&View::Whole, 0, limit(5)).await.unwrap();
    assert_eq!(page.state, hub.state().await.unwrap());
    let [first, second] = &page.entries[..] else { panic!("not two entries: {page:?}") };
    assert_eq!((first.kind, first.recorded_at), (EntryKind::Release, commit.at));
    assert_eq!(first.body, commit.parts[0].body);
    assert_eq!((second.kind, second.recorded_at), (EntryKind::Withdrawal, notice.at));
    assert_eq!(second.body, notice.body);
}

/// A release is found by its id, one that isn't there is not.
pub async fn a_release_is_found_by_its_id(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = revision("recipe/pear-compote", 1);
    let committed = hub.release(release("first", Audience::All, &[&pear])).await.unwrap();
    assert_eq!(
        hub.release_positions(&id("first")).await.unwrap(),
        Some(committed.first_position..=committed.last_position)
    );
    assert_eq!(hub.release_positions(&id("second")).await.unwrap(), None);
}

/// Whoever watches hears of the last position, and of nothing when a change is refused.
pub async fn watchers_hear_of_commits(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let mut watcher = hub.subscribe();
    assert_eq!(*watcher.borrow_and_update(), 0);
    let pear = revision("recipe/pear-compote", 1);
    let commit = release("first", Audience::All, &[&pear]);
    hub.release(commit.clone()).await.unwrap();
    watcher.changed().await.unwrap();
    assert_eq!(*watcher.borrow_and_update(), 1);
    hub.release(commit).await.unwrap();
    hub.release(release("first", Audience::All, &[&pear])).await.unwrap();
    hub.release(parts("second", &[])).await.unwrap_err();
    assert!(!watcher.has_changed().unwrap());
}
