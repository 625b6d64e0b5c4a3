//! What a site sees of the feed.

use std::collections::BTreeSet;
use std::sync::Arc;

use chablon_model::{Audience, NextStep, View};

use crate::conformance::assert_refused;
use crate::conformance::samples::{
    groups, id, limit, parts, positions, release, revision, site, view, withdrawal,
};
use crate::{FeedEntry, HubError, HubStore, NewRevision};

/// Two sites, `harbour` in `city` and `station` in `city` and `travel`, and releases to this and
/// that audience. Entry 1 is for harbour, 2 for station, 3 for all, 4 for travel, 5 for harbour and
/// travel, 6 for city, 7 for nobody yet.
async fn seven_entries(hub: &dyn HubStore) -> NewRevision {
    let (harbour, station) =
        (site("harbour", 1, &["city"]), site("station", 1, &["city", "travel"]));
    let only = |name| Audience::site(id(name));
    let mut sites =
        parts("sites", &[(only("harbour"), &[&harbour]), (only("station"), &[&station])]);
    sites.revisions = vec![harbour, station];
    hub.release(sites).await.unwrap();
    let pear = revision("recipe/pear-compote", 1);
    hub.release(release("a3", Audience::All, &[&pear])).await.unwrap();
    let mixed = Audience::Of {
        groups: BTreeSet::from([id("travel")]),
        sites: BTreeSet::from([id("harbour")]),
    };
    let audiences = [groups(&["travel"]), mixed, groups(&["city"]), groups(&["country"])];
    for (name, audience) in ["a4", "a5", "a6", "a7"].into_iter().zip(audiences) {
        hub.release(release(name, audience, &[&pear])).await.unwrap();
    }
    pear
}

async fn all(hub: &dyn HubStore, view: &View) -> Vec<FeedEntry> {
    hub.entries(view, 0, limit(100)).await.unwrap().entries
}

/// An entry is in a site's view if it addresses all, the site, or one of its groups.
pub async fn a_view_holds_what_addresses_the_site(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    seven_entries(&*hub).await;
    assert_eq!(positions(&all(&*hub, &view("harbour")).await), [1, 3, 5, 6]);
    assert_eq!(positions(&all(&*hub, &view("station")).await), [2, 3, 4, 5, 6]);
    assert_eq!(positions(&all(&*hub, &View::Whole).await), [1, 2, 3, 4, 5, 6, 7]);
}

/// Each entry names the one before it in the same view, across pages too.
pub async fn previous_positions_chain_within_a_view(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    seven_entries(&*hub).await;
    for view in [View::Whole, view("harbour"), view("station")] {
        let (mut after, mut last) = (0, 0);
        loop {
            let page = hub.entries(&view, after, limit(1)).await.unwrap();
            for entry in &page.entries {
                assert_eq!(entry.previous_position, last, "in {view:?}");
                last = entry.position;
            }
            after = page.end();
            if !page.more {
                break;
            }
        }
        assert_eq!(after, 7, "the end of {view:?} is the end of the feed");
    }
}

/// A release in parts shows a site its own parts, still on one page.
pub async fn a_view_hides_the_parts_for_other_sites(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = seven_entries(&*hub).await;
    let items = [&pear];
    let to = |name| (Audience::site(id(name)), &items[..]);
    let audiences = [to("harbour"), to("station"), to("harbour"), to("station")];
    hub.release(parts("both", &audiences)).await.unwrap();
    let page = hub.entries(&view("harbour"), 7, limit(1)).await.unwrap();
    assert_eq!(positions(&page.entries), [8, 10]);
    assert!(!page.more);
    let page = hub.entries(&view("station"), 7, limit(1)).await.unwrap();
    assert_eq!(positions(&page.entries), [9, 11]);
}

/// New groups bring earlier entries into the view, and another token says so.
pub async fn a_view_follows_the_groups(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    seven_entries(&*hub).await;
    let token = async || hub.entries(&view("harbour"), 0, limit(1)).await.unwrap().view;
    let before = token().await;
    assert_eq!(before, Some(hub.site(&id("harbour")).await.unwrap().unwrap().view()));
    hub.release(parts("again", &[(Audience::All, &[&site("harbour", 1, &["city"])])]))
        .await
        .unwrap();
    assert_eq!(token().await, before, "the same groups make the same view");
    let moved = site("harbour", 2, &["country"]);
    hub.release(release("moved", Audience::site(id("harbour")), &[&moved])).await.unwrap();
    assert_ne!(token().await, before);
    assert_eq!(positions(&all(&*hub, &view("harbour")).await), [1, 3, 5, 7, 8, 9]);
}

/// A site that no released document describes is refused, not shown what is for all.
pub async fn an_unknown_site_has_no_view(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = seven_entries(&*hub).await;
    let unknown = view("millrace");
    assert_refused!(
        hub.entries(&unknown, 0, limit(1)).await,
        HubError::UnknownSite(site) if site == id("millrace")
    );
    assert_refused!(hub.history(&unknown, &pear.reference.key).await, HubError::UnknownSite(_));
}

/// The history of a document is every entry of the view that releases or withdraws it.
pub async fn history_is_that_of_one_document(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = seven_entries(&*hub).await;
    let others = [revision("recipe/honey-bavarois", 1), revision("prices/pear-compote", 1)];
    hub.release(release("others", Audience::All, &others.each_ref())).await.unwrap();
    hub.withdraw(withdrawal("stop", &pear, NextStep::MakeNone)).await.unwrap();
    let key = &pear.reference.key;
    let whole = hub.history(&View::Whole, key).await.unwrap();
    assert_eq!(positions(&whole), [3, 4, 5, 6, 7, 9]);
    let harbour = hub.history(&view("harbour"), key).await.unwrap();
    assert_eq!(positions(&harbour), [3, 5, 6, 9]);
    let of_view = all(&*hub, &view("harbour")).await;
    assert!(harbour.iter().all(|entry| of_view.contains(entry)), "shown as the view shows them");
    assert!(hub.history(&View::Whole, &id("recipe/unheard-of")).await.unwrap().is_empty());
}
