//! Deviations.

use std::sync::Arc;

use chablon_model::{Audience, EntryBody, View};
use tokio::task::JoinSet;

use crate::conformance::assert_refused;
use crate::conformance::samples::{
    asked, decision, id, limit, positions, release, revision, revision_of, root, site, view,
};
use crate::{DecisionCommit, EntryKind, HubError, HubStore, NewRevision, digest_of};

/// Two sites and a recipe, released at positions 1 and 2.
async fn two_sites(hub: &dyn HubStore) -> NewRevision {
    let sites = [site("harbour", 1, &["city"]), site("station", 1, &["city"])];
    let pear = revision("recipe/pear", 1);
    hub.release(release("sites", Audience::All, &sites.each_ref())).await.unwrap();
    hub.release(release("pear", Audience::All, &[&pear])).await.unwrap();
    pear
}

/// What is asked comes back as it came, and asking again changes nothing.
pub async fn what_is_asked_is_kept_once(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = two_sites(&*hub).await;
    let commit = asked("d1", "harbour", &pear);
    for _ in 0..2 {
        hub.ask_deviation(commit.clone()).await.unwrap();
    }
    let stored = hub.deviation(&id("d1")).await.unwrap().unwrap();
    assert_eq!((&stored.asked, stored.asked_at), (&commit.body, commit.at));
    assert_eq!((stored.decided.as_ref(), stored.latest()), (None, commit.body.digest));
    assert_eq!(stored.site.as_str(), "harbour");
    let mut other = commit;
    other.body = crate::Frozen::new("other words");
    assert_refused!(hub.ask_deviation(other).await, HubError::DeviationExists(name) if name.as_str() == "d1");
    assert_eq!(hub.deviation(&id("d2")).await.unwrap(), None);
    assert_eq!(hub.state().await.unwrap().position, 2, "what is asked is no entry");
}

/// A deviation is of a site that is known and a revision that is held.
pub async fn what_is_asked_fits_what_is_held(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = two_sites(&*hub).await;
    assert_refused!(
        hub.ask_deviation(asked("d1", "nowhere", &pear)).await,
        HubError::UnknownSite(site) if site.as_str() == "nowhere"
    );
    let absent = revision_of("recipe/pear", 1, "another history");
    assert_refused!(
        hub.ask_deviation(asked("d1", "harbour", &absent)).await,
        HubError::MissingRevision(named) if *named == absent.reference
    );
    let mut odd = asked("d1", "harbour", &pear);
    odd.body.digest = digest_of(b"something else");
    assert_refused!(hub.ask_deviation(odd).await, HubError::DigestMismatch { .. });
    let mut decided = asked("d1", "harbour", &pear);
    decided.deviation = decision("d1", &decided, "yes").deviation;
    assert_refused!(hub.ask_deviation(decided).await, HubError::Malformed(_));
    assert_eq!(hub.deviation(&id("d1")).await.unwrap(), None);
}

/// A decision is an entry that its site alone sees.
pub async fn a_decision_is_an_entry_of_its_site(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = two_sites(&*hub).await;
    let ask = asked("d1", "harbour", &pear);
    hub.ask_deviation(ask.clone()).await.unwrap();
    let commit = decision("yes", &ask, "granted");
    let committed = hub.decide_deviation(commit.clone()).await.unwrap();
    assert_eq!((committed.first_position, committed.last_position), (3, 3));
    let repeated = hub.decide_deviation(commit.clone()).await.unwrap();
    assert!(repeated.repeated && repeated.first_position == 3);
    let seen = async |view: View| hub.entries(&view, 1, limit(10)).await.unwrap().entries;
    assert_eq!(positions(&seen(view("harbour")).await), [2, 3]);
    assert_eq!(positions(&seen(view("station")).await), [2]);
    let entry = seen(View::Whole).await.pop().unwrap();
    assert_eq!((entry.kind, &entry.body), (EntryKind::Deviation, &commit.body));
    assert_eq!(entry.kind, EntryKind::of(&EntryBody::Deviation(commit.deviation.clone())));
    let history = hub.history(&view("harbour"), &pear.reference.key).await.unwrap();
    assert_eq!(positions(&history), [2, 3]);
    let stored = hub.deviation(&id("d1")).await.unwrap().unwrap();
    let decided = stored.decided.as_ref().unwrap();
    assert_eq!((decided.position, decided.previous_position), (3, 0));
    assert_eq!((decided.recorded_at, &decided.body), (commit.at, &commit.body));
}

/// Who decides says what they saw; of two at once one is told that the other was first.
pub async fn a_decision_is_of_what_was_seen(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = two_sites(&*hub).await;
    let ask = asked("d1", "harbour", &pear);
    assert_refused!(
        hub.decide_deviation(decision("early", &ask, "granted")).await,
        HubError::UnknownDeviation(name) if name.as_str() == "d1"
    );
    hub.ask_deviation(ask.clone()).await.unwrap();
    let mut deciders = JoinSet::new();
    for name in ["one", "two"] {
        let (hub, commit) = (Arc::clone(&hub), decision(name, &ask, name));
        deciders.spawn(async move { hub.decide_deviation(commit).await });
    }
    let answers = deciders.join_all().await;
    let (done, refused): (Vec<_>, Vec<_>) = answers.into_iter().partition(Result::is_ok);
    assert_eq!(done.len(), 1, "{done:?}");
    assert!(matches!(refused[..], [Err(HubError::DeviationDecided(_))]), "{refused:?}");
    let mut third = decision("three", &ask, "three");
    third.seen = hub.deviation(&id("d1")).await.unwrap().unwrap().latest();
    assert_eq!(hub.decide_deviation(third).await.unwrap().first_position, 4);
}

/// What was signed once doesn't count twice: where a group signs, the very same decision is refused
/// after another.
pub async fn the_very_same_decision_is_refused(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = two_sites(&*hub).await;
    let ask = asked("d1", "harbour", &pear);
    hub.ask_deviation(ask.clone()).await.unwrap();
    let first = decision("yes", &ask, "granted");
    hub.decide_deviation(first.clone()).await.unwrap();
    let second = DecisionCommit { seen: first.body.digest, ..decision("no", &ask, "taken back") };
    hub.decide_deviation(second.clone()).await.unwrap();
    hub.add_root(root(1, "root")).await.unwrap();
    let again = decision("again", &ask, "granted");
    let again = DecisionCommit { seen: second.body.digest, ..again };
    assert_refused!(hub.decide_deviation(again).await, HubError::Malformed(_));
    assert!(hub.decide_deviation(first).await.unwrap().repeated);
    assert_eq!(hub.state().await.unwrap().position, 4);
}

/// A decision is of the site and the recipe that were asked for, and decides something.
pub async fn a_decision_fits_what_was_asked(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = two_sites(&*hub).await;
    let ask = asked("d1", "harbour", &pear);
    hub.ask_deviation(ask.clone()).await.unwrap();
    let mut elsewhere = decision("yes", &ask, "granted");
    elsewhere.deviation.site = id("station");
    assert_refused!(hub.decide_deviation(elsewhere).await, HubError::Malformed(_));
    let mut nothing = decision("yes", &ask, "granted");
    nothing.deviation.decision = chablon_model::Decision::Asked;
    assert_refused!(hub.decide_deviation(nothing).await, HubError::Malformed(_));
    let mut odd = decision("yes", &ask, "granted");
    odd.body.digest = digest_of(b"something else");
    assert_refused!(hub.decide_deviation(odd).await, HubError::DigestMismatch { .. });
    hub.decide_deviation(decision("yes", &ask, "granted")).await.unwrap();
    let reused = decision("yes", &ask, "other words");
    assert_refused!(hub.decide_deviation(reused).await, HubError::RequestIdReused(_));
}

/// Deviations are listed by id, of one site or of all, page by page.
pub async fn deviations_are_listed_in_pages(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = two_sites(&*hub).await;
    for (name, site) in [("d3", "station"), ("d1", "harbour"), ("d2", "harbour")] {
        hub.ask_deviation(asked(name, site, &pear)).await.unwrap();
    }
    let names = async |site: Option<&str>, after: Option<&str>, most: u32| -> Vec<String> {
        let (site, after) = (site.map(id), after.map(id));
        let listed = hub.deviations(site.as_ref(), after.as_ref(), limit(most)).await.unwrap();
        listed.into_iter().map(|one| one.id.to_string()).collect()
    };
    assert_eq!(names(None, None, 10).await, ["d1", "d2", "d3"]);
    assert_eq!(names(None, Some("d1"), 1).await, ["d2"]);
    assert_eq!(names(Some("harbour"), None, 10).await, ["d1", "d2"]);
    assert_eq!(names(Some("station"), Some("d3"), 10).await, [""; 0]);
    drop(hub);
    let again = open().await;
    assert_eq!(again.deviations(None, None, limit(10)).await.unwrap().len(), 3, "after reopening");
}
