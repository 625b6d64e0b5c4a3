//! What is kept from a kitchen: above all a withdrawal, without which it goes on making what it must
//! not.

use std::time::Duration;

use chablon_sdk::deviations::DecisionDraft;
use chablon_sdk::model::{
    Amount, Decision, Departure, Deviation, DeviationLimits, DocumentKey, Grant, LineRef, Moment,
    NewAmount, Uses,
};
use chablon_sdk::quantity::{Authored, MassUnit, Number};
use chablon_sdk::trust::{Notice, TrustError};
use chablon_sdk::{Client, Event, Replica, StandardState};
use chablon_testkit::trust::{HUB_KEY, key};
use chablon_testkit::{Keeping, TestClock, TestHub, sample};
use chablon_wire::pb::{ListChangesResponse, feed_entry::Body};

use super::{hide, refused_from_the_start, vouch_for};
use crate::common::{NOW, assert_equal, client, client_of, note, recipe, site};
use crate::liar::{Lies, liar};
use crate::signing::{
    DAY, hub_beside_a_copy, hub_with_key, pinned, pinned_at, release_signed, root_with_hub_key,
    rule, signed_hub, withdraw_signed,
};

/// Whether a kitchen makes custard.
async fn makes_custard(replica: &Replica) -> bool {
    let custard: DocumentKey = "recipe/custard".parse().unwrap();
    let standards = replica.standards(NOW).await.unwrap();
    let custard = standards.into_iter().find(|one| one.document == custard).expect("the custard");
    matches!(custard.state, StandardState::InForce(_))
}

fn hide_withdrawals(page: &mut ListChangesResponse) {
    hide(page, |body| matches!(body, Body::Withdrawal(_)));
}

/// A kitchen that makes custard, and a hub at which it was stopped since.
async fn stopped_since(keeping: Keeping) -> (TestHub, Client, Replica) {
    let (hub, honest) = signed_hub(keeping).await;
    let replica = pinned("harbour", &honest).await;
    replica.sync(&honest).await.unwrap();
    withdraw_signed(&honest, &[11]).await.unwrap();
    (hub, honest, replica)
}

#[tokio::test]
async fn a_hidden_withdrawal() {
    let (hub, honest, replica) = stopped_since(Keeping::Memory).await;
    let mut documents = sample::book().documents();
    note(&mut documents, "custard-cream", "Fold with care");
    release_signed(&honest, &documents, &[11]).await.unwrap();
    for lies in [
        // All else is shown, joined where it was; all else, with the gap; nothing new at all.
        Lies::about_pages(|_, page| hide_withdrawals(page)),
        Lies::about_pages(|_, page| {
            page.entries.retain(|entry| !matches!(entry.body, Some(Body::Withdrawal(_))));
        }),
        Lies::about_pages(|_, page| page.entries.clear()),
    ] {
        let lied_to = client_of([liar(hub.channel().await, lies).await]);
        let refused = replica.sync(&lied_to).await.unwrap_err();
        assert!(matches!(rule(&refused), TrustError::OtherChain { .. }), "{refused:?}");
        assert!(makes_custard(&replica).await, "what was held is usable");
        let refused = refused_from_the_start(lies).await;
        assert!(matches!(rule(&refused), TrustError::OtherChain { .. }), "{refused:?}");
    }
    replica.sync(&honest).await.unwrap();
    assert!(!makes_custard(&replica).await);
    assert_equal(&replica, &honest).await;
}

#[tokio::test]
async fn a_withdrawal_hidden_from_a_kitchen_that_follows() {
    let (hub, honest) = signed_hub(Keeping::Memory).await;
    let replica = pinned("harbour", &honest).await;
    let lies = Lies::about_pages(|_, page| hide_withdrawals(page));
    let lied_to = client_of([liar(hub.channel().await, lies).await]);
    let (told, found) = tokio::sync::oneshot::channel();
    let mut told = Some(told);
    let (caught_up, ready) = tokio::sync::oneshot::channel();
    let mut caught_up = Some(caught_up);
    let until = tokio::time::sleep(Duration::from_secs(20));
    let following = replica.follow(&lied_to, until, |event| match event {
        Event::CaughtUp(_) => drop(caught_up.take().map(|ready| ready.send(()))),
        Event::Interrupted { error, .. } if error.untrusted().is_some() => {
            drop(told.take().map(|told| told.send(error)));
        }
        _ => {}
    });
    let stopping = async {
        ready.await.unwrap();
        withdraw_signed(&honest, &[11]).await.unwrap();
        found.await.expect("it is found in time")
    };
    let found = tokio::select! {
        ended = following => panic!("it goes on trying: {ended:?}"),
        found = stopping => found,
    };
    assert!(matches!(rule(&found), TrustError::OtherChain { .. }), "{found:?}");
    replica.sync(&honest).await.unwrap();
    assert!(!makes_custard(&replica).await);
}

/// Harbour was granted more sugar, and it was taken back.
async fn granted_and_taken_back(honest: &Client) {
    let standards = honest.site_standards(&site("harbour"), NOW).await.unwrap();
    let line = LineRef { number: 3, uses: Uses::Ingredient("sugar-caster".parse().unwrap()) };
    let grams = Amount::Mass(Authored::new(Number::whole(205), MassUnit::Gram));
    let asked = Deviation {
        id: "harbour-sweeter".parse().unwrap(),
        site: site("harbour"),
        based_on: standards.revision(&recipe("custard")).unwrap().clone(),
        departures: vec![Departure::Amount { line, to: NewAmount::Exactly(grams) }],
        limits: DeviationLimits::default(),
        from: NOW,
        until: Moment(NOW.0 + DAY),
        reason: "The guests like it sweeter".to_owned(),
        decision: Decision::Asked,
    };
    honest.ask_deviation(&asked).await.unwrap();
    let (by, at) = ("Group pastry chef".to_owned(), NOW);
    let allergens = [].into();
    let grant = Grant { by: by.clone(), at, note: None, allergens, critical_limits: false };
    let reason = "Not any more".to_owned();
    for decision in [Decision::Granted(grant), Decision::Refused { by, at, reason }] {
        let submitted = honest.deviation(&asked.id).await.unwrap();
        let decided = Deviation { decision, ..asked.clone() };
        let mut draft = DecisionDraft::new(&submitted, decided).unwrap();
        draft.sign(&key(11));
        honest.decide_deviation(&draft).await.unwrap();
    }
}

#[tokio::test]
async fn a_hidden_decision_on_a_deviation() {
    let (hub, honest) = signed_hub(Keeping::Memory).await;
    granted_and_taken_back(&honest).await;
    let lies = Lies::about_pages(|_, page| {
        let decisions =
            |entry: &&chablon_wire::pb::FeedEntry| matches!(entry.body, Some(Body::Deviation(_)));
        if let Some(last) = page.entries.iter().rposition(|entry| decisions(&entry)) {
            page.entries.remove(last);
        }
    });
    let replica = pinned("harbour", &honest).await;
    let lied_to = client_of([liar(hub.channel().await, lies).await]);
    let refused = replica.sync(&lied_to).await.unwrap_err();
    assert!(matches!(rule(&refused), TrustError::OtherChain { .. }), "{refused:?}");
    replica.sync(&honest).await.unwrap();
    let [taken_back] = &replica.deviations(NOW).await.unwrap()[..] else { panic!("one deviation") };
    assert!(matches!(taken_back.decision, Decision::Refused { .. }));
    assert_equal(&replica, &honest).await;
}

/// Whoever has the hub's key can hold a withdrawal back. The next hub that tells the truth betrays it,
/// and the root that replaces the key brings it.
#[tokio::test]
async fn a_withdrawal_hidden_with_a_stolen_hubs_key() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("hub.db");
    let (hub, honest) = signed_hub(Keeping::SqliteAt(path.clone())).await;
    withdraw_signed(&honest, &[11]).await.unwrap();
    let lies = Lies::about_pages(|_, page| {
        hide_withdrawals(page);
        vouch_for(page, |_| ());
    });
    let lied_to = client_of([liar(hub.channel().await, lies).await]);
    let replica = pinned("harbour", &honest).await;
    replica.sync(&lied_to).await.unwrap();
    assert!(makes_custard(&replica).await, "it was deceived");
    let refused = replica.sync(&honest).await.unwrap_err();
    assert!(matches!(rule(&refused), TrustError::OtherChain { .. }), "{refused:?}");
    hub.stop().await;
    let hub = hub_with_key(Keeping::SqliteAt(path), 22).await;
    let cured = client(&hub);
    cured.add_root(&root_with_hub_key(2, 22)).await.unwrap();
    replica.sync(&cured).await.unwrap();
    assert!(!makes_custard(&replica).await);
    assert_equal(&replica, &cured).await;
}

/// Not even whoever has the hub's key hides it again, under the name of another history.
#[tokio::test]
async fn a_withdrawal_that_was_taken_is_not_hidden_again() {
    let (hub, honest, replica) = stopped_since(Keeping::Memory).await;
    replica.sync(&honest).await.unwrap();
    let lies = Lies::about_pages(|_, page| {
        hide_withdrawals(page);
        "another".clone_into(&mut page.next.as_mut().expect("a cursor").epoch);
        vouch_for(page, |checkpoint| "another".clone_into(&mut checkpoint.epoch));
    });
    let lied_to = client_of([liar(hub.channel().await, lies).await]);
    let refused = replica.sync(&lied_to).await.unwrap_err();
    assert!(matches!(rule(&refused), TrustError::EntriesLost { count: 1, .. }), "{refused:?}");
    assert!(!makes_custard(&replica).await);
    assert_equal(&replica, &honest).await;
}

/// A mirror shows the same for ever, word for word, while custard is stopped elsewhere.
#[tokio::test]
async fn everything_withheld() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    let hub = hub_beside_a_copy(&at("hub.db"), &at("mirror.db")).await;
    let (honest, clock) = (client(&hub), TestClock::at(NOW));
    let replica = {
        let clock = clock.clone();
        pinned_at(&at("kitchen.db"), &honest, NOW).await.with_clock(move || clock.now())
    };
    replica.sync(&honest).await.unwrap();
    withdraw_signed(&honest, &[11]).await.unwrap();
    // Its clock stands still, so what it signs is what the hub had signed.
    let mirror = hub_with_key(Keeping::SqliteAt(at("mirror.db")), HUB_KEY).await;
    let mirror = client(&mirror);

    clock.set(Moment(NOW.0 + DAY - 1));
    assert_eq!(replica.sync(&mirror).await.unwrap().notices, []);
    let in_time = replica.status().await.unwrap();
    assert!(!in_time.is_overdue(clock.now()));

    clock.set(Moment(NOW.0 + DAY + 1));
    let since = Moment(NOW.0 + DAY);
    let synced = replica.sync(&mirror).await.unwrap();
    assert_eq!(synced.notices, [Notice::CheckpointExpired { since }]);
    let status = replica.status().await.unwrap();
    assert_eq!(status.last_contact, Some(clock.now()), "it did hear of somebody");
    assert_eq!(status.known_at(), Some(NOW), "and of nothing that is newer");
    assert!(status.is_overdue(clock.now()));
    assert!(makes_custard(&replica).await, "it is told, and nothing is disabled");

    hub.clock().set(clock.now());
    assert_eq!(replica.sync(&honest).await.unwrap().notices, []);
    assert!(!makes_custard(&replica).await);
    assert!(!replica.status().await.unwrap().is_overdue(clock.now()));
}

/// Nobody answers any more.
#[tokio::test]
async fn silence() {
    let (_hub, _, replica) = stopped_since(Keeping::Memory).await;
    let nowhere = client_of(["http://127.0.0.1:1".to_owned()]);
    assert!(replica.sync(&nowhere).await.unwrap_err().is_unavailable());
    let status = replica.status().await.unwrap();
    assert!(!status.is_overdue(Moment(NOW.0 + DAY)));
    assert!(status.is_overdue(Moment(NOW.0 + DAY + 1)));
    assert!(makes_custard(&replica).await);
}
