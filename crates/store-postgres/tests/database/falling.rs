//! A server that falls, and a way to it that breaks.

use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::time::{Duration, Instant};

use chablon_store::{Committed, HubError, HubStore};
use chablon_store_postgres::{PostgresConfig, PostgresHub, migrate};
use chablon_testkit::Proxy;
use chablon_testkit::postgres::{Cluster, TestDatabase};
use tokio::task::{JoinSet, spawn_blocking};
use tokio::time::{sleep, timeout};

use crate::samples::{SOON, feed, insist, next, open_with, small};

const WRITERS: usize = 8;
const FALLS: usize = 3;

/// What the writers share.
#[derive(Default)]
struct Load {
    stop: AtomicBool,
    answered: AtomicU64,
}

async fn cluster() -> Arc<Cluster> {
    Arc::new(spawn_blocking(Cluster::start).await.unwrap())
}

async fn database(cluster: &Cluster) -> TestDatabase {
    let database = TestDatabase::of(cluster).await;
    migrate(database.url()).await.unwrap();
    database
}

/// Releases one recipe's revisions until told to stop, each until it is answered.
async fn write(hub: Arc<PostgresHub>, writer: usize, load: Arc<Load>) -> Vec<(String, Committed)> {
    let mut answers = Vec::new();
    for number in 1.. {
        if load.stop.load(Ordering::SeqCst) {
            break;
        }
        let commit = next(&format!("writer-{writer}"), number);
        let body = String::from_utf8_lossy(&commit.parts[0].body.bytes).into_owned();
        let answer = insist(|| hub.release(commit.clone())).await;
        load.answered.fetch_add(1, Ordering::SeqCst);
        answers.push((body, answer));
    }
    answers
}

/// Waits until the writers got so many answers more.
async fn answers_more(load: &Load, more: u64) {
    let wanted = load.answered.load(Ordering::SeqCst) + more;
    let waiting = async {
        while load.answered.load(Ordering::SeqCst) < wanted {
            sleep(Duration::from_millis(10)).await;
        }
    };
    timeout(3 * SOON, waiting).await.expect("the writers get on");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn what_was_answered_outlives_the_server_and_the_store_recovers() {
    let cluster = cluster().await;
    let database = database(&cluster).await;
    let hubs =
        [open_with(database.url(), &small()).await, open_with(database.url(), &small()).await];
    let mut watcher = hubs[1].subscribe();
    let load = Arc::new(Load::default());
    let writers: JoinSet<_> =
        (0..WRITERS).map(|writer| write(hubs[writer % 2].clone(), writer, load.clone())).collect();
    for _ in 0..FALLS {
        answers_more(&load, 40).await;
        let fallen = cluster.clone();
        spawn_blocking(move || fallen.stop_immediately()).await.unwrap();
        sleep(Duration::from_millis(100)).await;
        let risen = cluster.clone();
        spawn_blocking(move || risen.start_again()).await.unwrap();
    }
    answers_more(&load, 40).await;
    load.stop.store(true, Ordering::SeqCst);
    let answers: Vec<_> = writers.join_all().await.into_iter().flatten().collect();

    let entries = feed(&*hubs[0]).await;
    assert_eq!(entries.len(), answers.len(), "every release was insisted on until its answer");
    for (body, answer) in &answers {
        let entry = &entries[usize::try_from(answer.first_position).unwrap() - 1];
        assert_eq!(entry.body.bytes, *body, "the answer for position {}", entry.position);
    }
    assert_eq!(feed(&*hubs[1]).await, entries);
    let last = entries.len() as u64;
    timeout(SOON, watcher.wait_for(|position| *position == last)).await.unwrap().unwrap();
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_silent_way_to_the_server_ends_in_time_and_mends() {
    let cluster = cluster().await;
    let database = database(&cluster).await;
    let server = SocketAddr::from((Ipv4Addr::LOCALHOST, cluster.port()));
    let proxy = Proxy::to(server).await;
    let [server, detour] = [server, proxy.address()].map(|address| address.port().to_string());
    let url = database.url().replace(&server, &detour);
    let limit = Duration::from_secs(1);
    let hub = open_with(&url, &PostgresConfig { time_limit: limit, ..small() }).await;
    hub.release(next("pear", 1)).await.unwrap();

    proxy.stall();
    let began = Instant::now();
    let reading = hub.state().await;
    assert!(matches!(reading, Err(HubError::Unavailable(_))), "{reading:?}");
    let writing = hub.release(next("pear", 2)).await;
    assert!(matches!(writing, Err(HubError::Unavailable(_))), "{writing:?}");
    assert!(began.elapsed() < 4 * limit, "{:?}", began.elapsed());

    proxy.cut();
    sleep(Duration::from_millis(100)).await;
    proxy.mend();
    let committed = insist(|| hub.release(next("pear", 2))).await;
    assert_eq!(committed.first_position, 2);
    assert_eq!(insist(|| hub.state()).await.position, 2);
}
