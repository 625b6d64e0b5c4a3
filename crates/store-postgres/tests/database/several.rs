//! Several hubs on one database.

use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::Duration;

use chablon_model::View;
use chablon_store::HubStore;
use chablon_store_postgres::{PostgresConfig, PostgresHub};
use chablon_testkit::postgres::TestDatabase;
use tokio::sync::watch;
use tokio::task::JoinSet;
use tokio::time::timeout;

use crate::samples::{SOON, database, feed, next, open, open_with, small};

const WRITERS: u32 = 16;
const RELEASES_EACH: u32 = 12;
const READERS: usize = 4;

/// Longer than the tests wait.
const NEVER: Duration = Duration::from_hours(1);

async fn three_hubs(database: &TestDatabase) -> Vec<Arc<PostgresHub>> {
    vec![open(database).await, open(database).await, open(database).await]
}

/// Writes one recipe's revisions, each by another hub; gives where each came to stand.
async fn write(hubs: Vec<Arc<PostgresHub>>, writer: u32) -> Vec<(u64, u32)> {
    let mut stand = Vec::new();
    for (number, hub) in (1..=RELEASES_EACH).zip(hubs.iter().cycle().skip(writer as usize)) {
        let committed = hub.release(next(&format!("writer-{writer}"), number)).await.unwrap();
        assert!(!committed.repeated);
        stand.push((committed.first_position, writer));
    }
    assert!(stand.is_sorted(), "a later release got an earlier position");
    stand
}

/// Reads each page from another hub; whatever it sees must join without a gap.
async fn read_all(hubs: Vec<Arc<PostgresHub>>, total: u64) {
    let mut seen = 0;
    for hub in hubs.iter().cycle() {
        let page = hub.entries(&View::Whole, seen, 5.try_into().unwrap()).await.unwrap();
        assert!(page.state.position >= seen, "a hub knows less than another did before");
        for entry in &page.entries {
            assert_eq!(entry.position, seen + 1, "a reader missed an entry");
            seen = entry.position;
        }
        if seen == total {
            return;
        }
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn sixteen_writers_and_readers_may_change_hubs_at_every_step() {
    let database = database().await;
    let hubs = three_hubs(&database).await;
    let total = u64::from(WRITERS * RELEASES_EACH);
    let mut readers = JoinSet::new();
    for reader in 0..READERS {
        let mut hubs = hubs.clone();
        hubs.rotate_left(reader % 3);
        readers.spawn(read_all(hubs, total));
    }
    let writers: JoinSet<_> = (0..WRITERS).map(|writer| write(hubs.clone(), writer)).collect();
    let stand: BTreeMap<u64, u32> = writers.join_all().await.into_iter().flatten().collect();
    assert!(stand.keys().copied().eq(1..=total), "positions are dense and unique");
    readers.join_all().await;
    let entries = feed(&*hubs[0]).await;
    for (entry, writer) in entries.iter().zip(stand.values()) {
        let body = String::from_utf8_lossy(&entry.body.bytes);
        assert!(body.starts_with(&format!("release writer-{writer}-")), "{body}");
    }
    assert_eq!(feed(&*hubs[2]).await, entries);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_one_hub_answered_every_hub_shows() {
    let database = database().await;
    let hubs = three_hubs(&database).await;
    for number in 1..=30 {
        let (writer, reader) = (&hubs[number as usize % 3], &hubs[(number as usize + 1) % 3]);
        let position = writer.release(next("pear", number)).await.unwrap().last_position;
        assert_eq!(reader.state().await.unwrap().position, position);
        assert_eq!(feed(&**reader).await.len() as u64, position);
    }
}

async fn hears(watcher: &mut watch::Receiver<u64>, position: u64) {
    let heard = timeout(SOON, watcher.wait_for(|last| *last >= position)).await;
    assert_eq!(*heard.expect("a word in time").unwrap(), position);
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_commit_wakes_those_who_watch_another_hub() {
    let database = database().await;
    let config = PostgresConfig { poll_every: NEVER, ..small() };
    let (here, there) =
        (open_with(database.url(), &config).await, open_with(database.url(), &config).await);
    listens(&database, 2).await;
    let mut watcher = there.subscribe();
    for number in 1..=3 {
        here.release(next("pear", number)).await.unwrap();
        hears(&mut watcher, u64::from(number)).await;
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_commit_that_nobody_told_of_is_found_by_looking() {
    let database = database().await;
    let config = PostgresConfig { poll_every: Duration::from_millis(50), ..small() };
    let hub = open_with(database.url(), &config).await;
    let mut watcher = hub.subscribe();
    // As a hub that falls between its commit and the word of it.
    let mut outside = database.connect().await;
    sqlx::query("UPDATE feed SET position = 7").execute(&mut outside).await.unwrap();
    hears(&mut watcher, 7).await;
}

/// Waits until so many hubs listen.
async fn listens(database: &TestDatabase, hubs: i64) -> Vec<i32> {
    let mut outside = database.connect().await;
    for _ in 0..200 {
        let listening: Vec<i32> = sqlx::query_scalar(
            "SELECT pid FROM pg_stat_activity \
             WHERE datname = current_database() AND query LIKE 'LISTEN%' AND state = 'idle'",
        )
        .fetch_all(&mut outside)
        .await
        .unwrap();
        if i64::try_from(listening.len()) == Ok(hubs) {
            return listening;
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    panic!("the hubs don't listen")
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_hub_whose_listening_is_cut_off_listens_again() {
    let database = database().await;
    let config = PostgresConfig { poll_every: NEVER, ..small() };
    let (here, there) =
        (open_with(database.url(), &config).await, open_with(database.url(), &config).await);
    let mut watcher = there.subscribe();
    let mut outside = database.connect().await;
    let before = listens(&database, 2).await;
    for pid in &before {
        let end = sqlx::query("SELECT pg_terminate_backend($1)").bind(pid);
        end.execute(&mut outside).await.unwrap();
    }
    // This one is told while nobody listens, and found when listening begins again.
    here.release(next("pear", 1)).await.unwrap();
    hears(&mut watcher, 1).await;
    let after = listens(&database, 2).await;
    assert!(after.iter().all(|pid| !before.contains(pid)));
    here.release(next("pear", 2)).await.unwrap();
    hears(&mut watcher, 2).await;
}
