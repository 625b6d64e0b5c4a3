//! Catching up.

use chablon_sdk::model::{DocumentContent, DocumentKey, Ingredient, Moment, View};
use chablon_sdk::publish::GoOn;
use chablon_sdk::{GoesBy, HowFar, Relisted, Status};
use chablon_testkit::{Keeping, TestHub, sample};
use futures::TryStreamExt;
use test_case::test_case;

use crate::common::{
    NOW, assert_equal, client, first_line, group, hub_with_book, kitchen, regroup, release, site,
    terms, withdraw,
};

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_kitchen_takes_what_concerns_it(keeping: Keeping) {
    let (hub, client) = hub_with_book(keeping).await;
    let replica = kitchen("harbour").await;
    let synced = replica.sync(&client).await.unwrap();
    assert_eq!(synced.progress.entries, 2, "the common part and its own");
    assert_eq!((synced.progress.revisions, synced.said), (10, 2));
    assert_eq!(synced.progress.position, synced.progress.head);
    assert_equal(&replica, &client).await;
    hub.stop().await;
}

#[tokio::test]
async fn a_kitchen_never_gets_anothers_prices() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("millrace").await;
    replica.sync(&client).await.unwrap();
    let held = replica.standards(NOW).await.unwrap();
    assert!(held.iter().all(|one| one.document.id.as_str() != "harbour"), "{held:?}");
    let whole: Vec<_> = client.documents(&View::Whole).try_collect().await.unwrap();
    let prices = whole.iter().find(|one| one.key.to_string() == "prices/harbour").unwrap();
    let refused = client.revision(&View::Site(site("millrace")), prices.digest).await.unwrap_err();
    assert!(refused.is_not_found(), "{refused:?}");
}

#[tokio::test]
async fn a_catch_up_goes_on_where_the_last_one_ended() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let again = replica.sync(&client).await.unwrap();
    assert_eq!((again.progress.entries, again.progress.revisions, again.said), (0, 0, 0));

    let mut documents = sample::book().documents();
    first_line(&mut documents, "custard", 900);
    release(&client, &documents, &terms("Less milk")).await;
    let corrected = replica.sync(&client).await.unwrap();
    assert_eq!((corrected.progress.entries, corrected.progress.revisions), (1, 2));
    assert_equal(&replica, &client).await;
}

#[tokio::test]
async fn progress_is_told_and_ends_at_the_head() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    let mut told = Vec::new();
    replica.sync_with(&client, |progress| told.push(*progress)).await.unwrap();
    assert!(told.is_sorted_by(|a, b| a.position <= b.position && a.bytes <= b.bytes), "{told:?}");
    assert!(told.iter().any(|one| one.revisions_to_fetch > 0));
    let last = told.last().unwrap();
    assert_eq!((last.position, last.revisions_to_fetch), (last.head, 0));
}

#[tokio::test]
async fn a_site_that_was_never_released_is_not_known() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let refused = kitchen("station").await.sync(&client).await.unwrap_err();
    assert!(refused.is_not_found(), "{refused:?}");
    assert!(refused.to_string().contains("`station`"), "{refused}");
}

#[tokio::test]
async fn other_groups_list_the_view_anew_without_fetching_twice() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("millrace").await;
    replica.sync(&client).await.unwrap();
    let mut documents = sample::book().documents();
    first_line(&mut documents, "custard", 900);
    release(&client, &documents, &terms("The coast first").to(group("coast"))).await;
    assert_eq!(replica.sync(&client).await.unwrap().progress.entries, 0);

    regroup(&mut documents, "millrace", &["coast"]);
    release(&client, &documents, &terms("Millrace joins the coast")).await;
    let synced = replica.sync(&client).await.unwrap();
    assert_eq!(synced.relisted, Some(Relisted::OtherView));
    assert_eq!(synced.progress.entries, 4, "two of before, the coast's, and its own new one");
    assert_eq!(synced.progress.revisions, 3, "two of the coast's release and its own description");
    assert_eq!(synced.said, 2, "what was said before is not said again");
    assert_equal(&replica, &client).await;
}

#[tokio::test]
async fn another_history_takes_the_place_of_the_old_one() {
    let (old, first) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    replica.sync(&first).await.unwrap();
    withdraw(&first, "custard", GoOn::WithNone, "Too thin").await;
    replica.sync(&first).await.unwrap();
    old.stop().await;

    // A hub that was restored from a backup of before the withdrawal: the same bytes elsewhere.
    let new = TestHub::start(Keeping::Memory).await;
    let client = client(&new);
    release(&client, &sample::book().documents(), &terms("First standards")).await;
    let synced = replica.sync(&client).await.unwrap();
    assert_eq!(synced.relisted, Some(Relisted::OtherHistory));
    assert_eq!(synced.progress.revisions, 0, "the bytes are held already");
    assert_equal(&replica, &client).await;
    assert_eq!(received(&client).await, ["harbour 1", "harbour 2"]);
}

#[tokio::test]
async fn what_was_received_and_put_to_use_is_known_at_the_hub() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let custard = "recipe/custard".parse().unwrap();
    replica.say_in_use(std::slice::from_ref(&custard)).await.unwrap();
    replica.say_in_use(&[custard]).await.unwrap();
    assert_eq!(replica.status().await.unwrap().unsaid, 1, "twice the same is said once");
    assert_eq!(replica.sync(&client).await.unwrap().said, 1);

    let at_harbour: Vec<_> =
        client.adoption(Some(&site("harbour")), ..).try_collect().await.unwrap();
    assert_eq!(at_harbour[0].in_use_at, Some(NOW));
    assert_eq!(at_harbour[1].in_use_at, None, "its prices are another entry");
    let nothing = replica.say_in_use(&["recipe/choux".parse().unwrap()]).await.unwrap_err();
    assert!(nothing.is_not_found());
}

#[tokio::test]
async fn going_by_a_withdrawal_is_said_of_the_withdrawal() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    let withdrawn = withdraw(&client, "custard", GoOn::WithNone, "Too thin").await;
    replica.sync(&client).await.unwrap();
    replica.say_in_use(&["recipe/custard".parse().unwrap()]).await.unwrap();
    replica.sync(&client).await.unwrap();
    let positions = withdrawn.first_position..=withdrawn.last_position;
    let said: Vec<_> =
        client.adoption(Some(&site("harbour")), positions).try_collect().await.unwrap();
    assert_eq!(said[0].in_use_at, Some(NOW));
}

#[tokio::test]
async fn more_than_one_call_brings_is_fetched_in_several() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let DocumentContent::Ingredient(milk) = sample::document("ingredient/milk-whole") else {
        panic!("milk is an ingredient");
    };
    let milks = (0..450).map(|number| {
        let id = format!("milk-{number}").parse().unwrap();
        DocumentContent::Ingredient(Ingredient { id, ..milk.clone() })
    });
    release(&client, &milks.collect::<Vec<_>>(), &terms("Many milks")).await;
    let replica = kitchen("harbour").await;
    let synced = replica.sync(&client).await.unwrap();
    assert_eq!(synced.progress.revisions, 460);
    assert_equal(&replica, &client).await;
}

#[tokio::test]
async fn two_catch_ups_at_once_do_no_harm() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    let all = (0..4).map(|_| replica.sync(&client));
    for synced in futures::future::join_all(all).await {
        synced.unwrap();
    }
    assert_equal(&replica, &client).await;
}

#[tokio::test]
async fn a_replica_says_how_it_stands() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    let before: Status = replica.status().await.unwrap();
    assert_eq!((before.cursor, before.last_contact), (None, None));
    replica.sync(&client).await.unwrap();
    let after = replica.status().await.unwrap();
    assert_eq!(after.cursor.map(|cursor| cursor.position), Some(3));
    assert_eq!(after.last_contact, Some(NOW));
}

/// Which entries were received where.
async fn received(client: &chablon_sdk::Client) -> Vec<String> {
    let said: Vec<_> = client.adoption(None, ..).try_collect().await.unwrap();
    let received = said.iter().filter(|one| one.received_at.is_some());
    received.map(|one| format!("{} {}", one.site, one.position)).collect()
}

#[tokio::test]
async fn a_kitchen_that_refuses_says_why_and_may_take_it_back() {
    let (_hub, client) = hub_with_book(Keeping::Sqlite).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let custard: DocumentKey = "recipe/custard".parse().unwrap();
    let silent = replica.say_refused(std::slice::from_ref(&custard), " ").await.unwrap_err();
    assert!(silent.is_invalid(), "{silent}");
    let why = "The mixer is out of order";
    replica.say_refused(std::slice::from_ref(&custard), why).await.unwrap();
    replica.sync(&client).await.unwrap();
    let said: Vec<_> = client.adoption(Some(&site("harbour")), ..).try_collect().await.unwrap();
    let refused: Vec<_> = said.iter().filter_map(|one| one.refused.clone()).collect();
    assert_eq!(refused, [(NOW, why.to_owned())]);
    let later = replica.clone().with_clock(|| Moment(NOW.0 + 1));
    later.say_in_use(std::slice::from_ref(&custard)).await.unwrap();
    later.sync(&client).await.unwrap();
    let said: Vec<_> = client.adoption(Some(&site("harbour")), ..).try_collect().await.unwrap();
    let of_entry = said.iter().find(|one| one.refused.is_some()).unwrap();
    assert!(of_entry.in_use_at > of_entry.refused.as_ref().map(|(at, _)| *at));
}

#[tokio::test]
async fn what_is_stale_is_told_with_since_when() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let at_custard = async || {
        let all = client.adopted(&site("harbour"), Moment(NOW.0 + 9)).await.unwrap();
        all.into_iter().find(|one| one.standard.document.id.as_str() == "custard").unwrap()
    };
    assert_eq!(at_custard().await.kitchen, HowFar::Received { since: NOW });
    let mut documents = sample::book().documents();
    for (milk, holds_from) in [(900, 3), (800, 5)] {
        first_line(&mut documents, "custard", milk);
        let mut terms = terms("Less milk");
        terms.holds_from = Moment(NOW.0 + holds_from);
        release(&client, &documents, &terms).await;
    }
    let behind = at_custard().await;
    assert_eq!(behind.due(), GoesBy::Revision(3));
    let since = Moment(NOW.0 + 3);
    assert_eq!(behind.kitchen, HowFar::Behind { since, by: GoesBy::Revision(1) });
    assert_eq!(behind.stale_since(), Some(since), "since the first that it lacks");
    replica.sync(&client).await.unwrap();
    assert_eq!(at_custard().await.stale_since(), None);
}

#[tokio::test]
async fn of_use_and_refusal_the_last_word_counts_whatever_the_clock_says() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    replica.sync(&client).await.unwrap();
    let custard: [DocumentKey; 1] = ["recipe/custard".parse().unwrap()];
    let word = async || {
        replica.sync(&client).await.unwrap();
        let all = client.adopted(&site("harbour"), NOW).await.unwrap();
        all.into_iter().find(|one| one.standard.document == custard[0]).unwrap().kitchen
    };
    replica.say_in_use(&custard).await.unwrap();
    replica.say_in_use(&custard).await.unwrap();
    assert_eq!(word().await, HowFar::InUse { since: NOW });
    replica.say_refused(&custard, "no oven").await.unwrap();
    let reason = "no oven".to_owned();
    assert_eq!(word().await, HowFar::Refused { since: Moment(NOW.0 + 1), reason });
    replica.say_in_use(&custard).await.unwrap();
    assert_eq!(word().await, HowFar::InUse { since: Moment(NOW.0 + 2) });
}
