//! Views without what decides nothing any more.

use std::sync::Arc;

use chablon_model::{Audience, View};

use crate::conformance::assert_refused;
use crate::conformance::samples::{
    compaction, groups, id, limit, parts, positions, release, revision, site, view,
};
use crate::{FeedEntry, HubError, HubStore};

/// The site `harbour` in `city`, and five releases of one recipe: entry 1 is the site's document, 2
/// to 4 are for all, 5 for the city, 6 for all.
async fn six_entries(hub: &dyn HubStore) {
    let harbour = site("harbour", 1, &["city"]);
    hub.release(release("site", Audience::site(id("harbour")), &[&harbour])).await.unwrap();
    let pear = revision("recipe/pear-compote", 1);
    hub.release(release("first", Audience::All, &[&pear])).await.unwrap();
    let audiences = [Audience::All, Audience::All, groups(&["city"]), Audience::All];
    for (name, audience) in ["second", "third", "fourth", "fifth"].into_iter().zip(audiences) {
        hub.release(parts(name, &[(audience, &[&pear])])).await.unwrap();
    }
}

async fn all(hub: &dyn HubStore, view: &View) -> Vec<FeedEntry> {
    hub.entries(view, 0, limit(100)).await.unwrap().entries
}

fn joined(entries: &[FeedEntry]) -> bool {
    let mut last = 0;
    entries.iter().all(|one| std::mem::replace(&mut last, one.position) == one.previous_position)
}

/// A site's view passes over what was taken out, and joins; pages and histories do so too.
pub async fn a_compacted_view_joins_without_what_was_taken_out(
    open: impl AsyncFn() -> Arc<dyn HubStore>,
) {
    let hub = open().await;
    six_entries(&*hub).await;
    let before = hub.state().await.unwrap();
    let after = hub.compact(compaction(4, &[2, 3])).await.unwrap();
    assert_eq!((after.oldest, after.position, &after.epoch), (4, 6, &before.epoch));
    assert_eq!(hub.state().await.unwrap(), after);
    let harbour = view("harbour");
    let rest = all(&*hub, &harbour).await;
    assert_eq!(positions(&rest), [1, 4, 5, 6]);
    assert!(joined(&rest), "{rest:?}");
    let page = hub.entries(&harbour, 1, limit(1)).await.unwrap();
    assert_eq!((positions(&page.entries), page.more, page.state.oldest), (vec![4], true, 4));
    let history = hub.history(&harbour, &id("recipe/pear-compote")).await.unwrap();
    assert_eq!(history[..], rest[1..]);
}

/// The whole view keeps every entry, with all that can be asked about it.
pub async fn the_whole_view_keeps_what_was_taken_out(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    six_entries(&*hub).await;
    let before = all(&*hub, &View::Whole).await;
    hub.compact(compaction(4, &[2, 3])).await.unwrap();
    assert_eq!(all(&*hub, &View::Whole).await, before);
    let second = hub.release_positions(&id("second")).await.unwrap().unwrap();
    assert_eq!(second, 3..=3);
}

/// A view may be compacted again, as far as before or further; what is new is shown.
pub async fn a_view_may_be_compacted_again(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    six_entries(&*hub).await;
    for _ in 0..2 {
        hub.compact(compaction(4, &[2, 3])).await.unwrap();
    }
    hub.compact(compaction(6, &[4])).await.unwrap();
    let pear = revision("recipe/pear-compote", 2);
    hub.release(release("sixth", Audience::All, &[&pear])).await.unwrap();
    let hub = open().await;
    let rest = all(&*hub, &view("harbour")).await;
    assert_eq!(positions(&rest), [1, 5, 6, 7]);
    assert!(joined(&rest), "{rest:?}");
    assert_eq!(hub.state().await.unwrap().oldest, 6);
}

/// A compaction beyond the feed, behind an earlier one or outside its own bounds does nothing.
pub async fn a_compaction_that_does_not_fit_is_refused(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    six_entries(&*hub).await;
    let before = hub.compact(compaction(3, &[2])).await.unwrap();
    for bad in [compaction(7, &[]), compaction(2, &[]), compaction(4, &[5]), compaction(4, &[0])] {
        assert_refused!(hub.compact(bad).await, HubError::Malformed(_));
    }
    assert_eq!(hub.state().await.unwrap(), before);
    assert_eq!(positions(&all(&*hub, &view("harbour")).await), [1, 3, 4, 5, 6]);
}
