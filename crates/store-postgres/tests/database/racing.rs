//! Changes that are in each other's way.

use std::time::{Duration, Instant};

use chablon_model::{NextStep, SiteId};
use chablon_store::{HubError, HubStore};
use chablon_store_postgres::PostgresConfig;
use chablon_testkit::postgres::TestDatabase;
use sqlx::Executor;
use tokio::task::JoinSet;
use tokio::time::{sleep, timeout};

use crate::samples::{
    SOON, database, feed, id, next, open, open_with, release, request, revision, revision_of,
    small, withdrawal,
};

/// Long enough for a call that isn't held up.
const A_WHILE: Duration = Duration::from_millis(500);

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn of_two_who_release_one_document_at_once_one_wins() {
    let database = database().await;
    let hubs = [open(&database).await, open(&database).await];
    for number in 1..=20 {
        let mut racers = JoinSet::new();
        for racer in 0..4 {
            let mine = revision_of("recipe/pear", number, &format!("{number} by {racer}"));
            let commit = release(&format!("r-{number}-{racer}"), &[mine]);
            let hub = hubs[racer % 2].clone();
            racers.spawn(async move { hub.release(commit).await });
        }
        let (won, lost): (Vec<_>, Vec<_>) =
            racers.join_all().await.into_iter().partition(Result::is_ok);
        assert_eq!(won.len(), 1);
        for result in lost {
            let Err(HubError::Conflict { expected, found, .. }) = result else {
                panic!("neither won nor lost: {result:?}")
            };
            assert_eq!((expected, found), (number + 1, number));
        }
    }
    assert_eq!(feed(&*hubs[0]).await.len(), 20);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn one_request_sent_to_two_hubs_at_once_is_done_once() {
    let database = database().await;
    let hubs = [open(&database).await, open(&database).await];
    for number in 1..=20 {
        let senders: JoinSet<_> = (0..6)
            .map(|sender| {
                let hub = hubs[sender % 2].clone();
                async move { hub.release(next("pear", number)).await.unwrap() }
            })
            .collect();
        let answers = senders.join_all().await;
        let position = u64::from(number);
        assert!(answers.iter().all(|answer| answer.first_position == position));
        assert_eq!(answers.iter().filter(|answer| !answer.repeated).count(), 1);
    }
}

async fn deadlocks(database: &TestDatabase) -> i64 {
    // What a connection counted is known once it is closed, or a second has passed.
    sleep(Duration::from_millis(1500)).await;
    let mut outside = database.connect().await;
    sqlx::query_scalar("SELECT deadlocks FROM pg_stat_database WHERE datname = current_database()")
        .fetch_one(&mut outside)
        .await
        .unwrap()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn releases_of_the_same_documents_never_wait_for_each_other_in_a_circle() {
    let database = database().await;
    let hubs = [open(&database).await, open(&database).await];
    for number in 1..=20 {
        let mut racers = JoinSet::new();
        for (racer, hub) in hubs.iter().enumerate() {
            let mut documents: Vec<_> = ["recipe/a", "recipe/b", "site/c", "site/d"]
                .iter()
                .map(|key| revision_of(key, number, &format!("{key} {number} by {racer}")))
                .collect();
            if racer == 1 {
                documents.reverse();
            }
            let (hub, commit) = (hub.clone(), release(&format!("r-{number}-{racer}"), &documents));
            racers.spawn(async move { hub.release(commit).await });
        }
        let results = racers.join_all().await;
        assert_eq!(results.iter().filter(|result| result.is_ok()).count(), 1, "{results:?}");
    }
    hubs[0].close().await;
    hubs[1].close().await;
    assert_eq!(deadlocks(&database).await, 0);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_change_that_the_server_broke_off_for_a_deadlock_is_tried_again() {
    let database = database().await;
    let hub = open(&database).await;
    let sites = ["site/a", "site/b"].map(|key| revision(key, 1));
    hub.release(release("sites", &sites)).await.unwrap();
    let mut other = database.connect().await;
    other.execute("BEGIN; UPDATE site SET revision = revision WHERE site = 'b'").await.unwrap();
    let sites = ["site/a", "site/b"].map(|key| revision(key, 2));
    let releasing = {
        let hub = hub.clone();
        tokio::spawn(async move { hub.release(release("again", &sites)).await })
    };
    // It has locked `a` by then, and waits for `b`. It has waited longer than the other one, so it
    // is the one that the server breaks off.
    sleep(A_WHILE).await;
    other.execute("UPDATE site SET revision = revision WHERE site = 'a'").await.unwrap();
    other.execute("COMMIT").await.unwrap();
    let committed = timeout(SOON, releasing).await.unwrap().unwrap().unwrap();
    assert_eq!((committed.first_position, committed.repeated), (2, false));
    hub.close().await;
    assert_eq!(deadlocks(&database).await, 1);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_withdrawal_heeds_a_release_of_the_same_site_that_is_under_way() {
    let database = database().await;
    let hub = open(&database).await;
    let [one, two, three] = [1, 2, 3].map(|number| revision("site/harbour", number));
    for revision in [&one, &two, &three] {
        let name = format!("r{}", revision.reference.number);
        hub.release(release(&name, std::slice::from_ref(revision))).await.unwrap();
    }
    // Somebody is about to release the second revision again.
    let mut other = database.connect().await;
    other.execute("BEGIN").await.unwrap();
    sqlx::query("UPDATE site SET revision = $1")
        .bind(&two.reference.digest.0[..])
        .execute(&mut other)
        .await
        .unwrap();
    let notice = withdrawal("back", &two, NextStep::GoBackTo(one.reference.clone()));
    let withdrawing = {
        let hub = hub.clone();
        tokio::spawn(async move { hub.withdraw(notice).await })
    };
    sleep(A_WHILE).await;
    assert!(!withdrawing.is_finished(), "it went past a release that comes before it");
    other.execute("COMMIT").await.unwrap();
    timeout(SOON, withdrawing).await.unwrap().unwrap().unwrap();
    let harbour: SiteId = id("harbour");
    assert_eq!(hub.site(&harbour).await.unwrap().unwrap().stated_by, one.reference);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn readers_wait_for_no_writer_and_a_writer_not_for_ever() {
    let database = database().await;
    let config = PostgresConfig { time_limit: Duration::from_secs(1), ..small() };
    let hub = open_with(database.url(), &config).await;
    hub.release(next("pear", 1)).await.unwrap();
    let mut other = database.connect().await;
    other.execute("BEGIN; UPDATE feed SET position = position").await.unwrap();
    let began = Instant::now();
    let held_up = hub.release(next("pear", 2)).await;
    assert!(matches!(held_up, Err(HubError::Unavailable(_))), "{held_up:?}");
    assert!(began.elapsed() < Duration::from_secs(4), "{:?}", began.elapsed());
    assert_eq!(timeout(A_WHILE, feed(&*hub)).await.expect("readers go on").len(), 1);
    other.execute("ROLLBACK").await.unwrap();
    assert_eq!(hub.release(next("pear", 2)).await.unwrap().first_position, 2);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_bytes_of_another_document_that_come_at_once_are_refused_alike() {
    let database = database().await;
    let hub = open(&database).await;
    for round in 0..10 {
        let mut racers = JoinSet::new();
        for racer in ["a", "b"] {
            let key = format!("recipe/{racer}-{round}");
            let mut commit = release(
                &format!("r-{racer}-{round}"),
                &[revision_of(&key, 1, &format!("the bytes of {round}"))],
            );
            commit.request = request(&format!("request-{racer}-{round}"));
            let hub = hub.clone();
            racers.spawn(async move { hub.release(commit).await });
        }
        let results = racers.join_all().await;
        let refused = results.iter().filter(|one| matches!(one, Err(HubError::Malformed(_))));
        assert_eq!(refused.count(), 1, "{results:?}");
    }
}
