//! What the hub knows of sites.

use std::sync::Arc;

use chablon_model::{Audience, NextStep};

use crate::conformance::samples::{go_back_to, id, parts, release, revision, site, withdrawal};
use crate::{HubStore, SiteRecord};

async fn groups_of(hub: &dyn HubStore, name: &str) -> Option<Vec<String>> {
    let SiteRecord { site, groups, .. } = hub.site(&id(name)).await.unwrap()?;
    assert_eq!(site, id(name));
    Some(groups.iter().map(ToString::to_string).collect())
}

/// A site is known once a document of it was released; storing one doesn't suffice.
pub async fn a_site_is_known_by_its_released_document(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let (harbour, station) = (site("harbour", 1, &["b", "a"]), site("station", 1, &[]));
    let pear = revision("recipe/pear", 1);
    let mut commit = parts("store", &[(Audience::All, &[&pear])]);
    commit.revisions = vec![pear, harbour.clone(), station.clone()];
    hub.release(commit).await.unwrap();
    assert_eq!(hub.sites().await.unwrap(), []);
    assert_eq!(hub.site(&id("harbour")).await.unwrap(), None);
    let both = [(Audience::All, &[&station][..]), (Audience::All, &[&harbour][..])];
    hub.release(parts("sites", &both)).await.unwrap();
    assert_eq!(groups_of(&*hub, "harbour").await.unwrap(), ["a", "b"]);
    assert!(groups_of(&*hub, "station").await.unwrap().is_empty());
    let known = hub.sites().await.unwrap();
    assert_eq!(
        known.iter().map(|record| record.site.as_str()).collect::<Vec<_>>(),
        ["harbour", "station"]
    );
    assert_eq!(known[0].stated_by, harbour.reference);
}

/// The groups are those of the document that was released last, be it an older revision.
pub async fn the_document_released_last_counts(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let (one, two) = (site("harbour", 1, &["a"]), site("harbour", 2, &["b", "c"]));
    hub.release(release("one", Audience::All, &[&one])).await.unwrap();
    hub.release(release("two", Audience::All, &[&two])).await.unwrap();
    assert_eq!(groups_of(&*hub, "harbour").await.unwrap(), ["b", "c"]);
    hub.release(parts("again", &[(Audience::All, &[&one])])).await.unwrap();
    assert_eq!(groups_of(&*hub, "harbour").await.unwrap(), ["a"]);
    let both = [(Audience::All, &[&one][..]), (Audience::All, &[&two][..])];
    hub.release(parts("both", &both)).await.unwrap();
    assert_eq!(groups_of(&*hub, "harbour").await.unwrap(), ["b", "c"], "the last part counts");
}

/// A withdrawal takes the groups back if they are by the withdrawn revision and it names another.
pub async fn going_back_takes_the_groups_back(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let [one, two, three] =
        [(1, "a"), (2, "b"), (3, "c")].map(|(number, group)| site("harbour", number, &[group]));
    for (name, revision) in [("one", &one), ("two", &two), ("three", &three)] {
        hub.release(release(name, Audience::All, &[revision])).await.unwrap();
    }
    let groups = async || groups_of(&*hub, "harbour").await.unwrap();
    hub.withdraw(withdrawal("w1", &two, go_back_to(&one))).await.unwrap();
    assert_eq!(groups().await, ["c"], "another revision counts");
    hub.withdraw(withdrawal("w2", &three, NextStep::MakeNone)).await.unwrap();
    assert_eq!(groups().await, ["c"], "the site must still hear of what comes next");
    hub.withdraw(withdrawal("w3", &three, go_back_to(&one))).await.unwrap();
    assert_eq!(groups().await, ["a"]);
}
