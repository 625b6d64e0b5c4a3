//! Releases that last, beside bare commits of the same bytes: one after the other, and as many a second
//! as sixteen callers at once get through.
//!
//! *Hub* is the whole way: over gRPC, checked, computed and declared, stored with all that is to be
//! found by, and answered once it lasts. *Bare commit* is one transaction for each release that puts the
//! same bytes and their digests into one table, in one statement, over the one connection that writes to
//! a file with the same care (write-ahead log, `synchronous=FULL`); its callers are in this process and
//! queue for that connection as the store's do. Both are done in turn.

use std::path::Path;
use std::time::Instant;

use chablon_model::{Audience, DocumentContent};
use chablon_testkit::FrozenRelease;
use chablon_wire::pb;
use chablon_wire::pb::release_service_client::ReleaseServiceClient;
use futures::future::join_all;
use sqlx::sqlite::{SqliteConnectOptions, SqlitePoolOptions};
use sqlx::{ConnectOptions as _, QueryBuilder, Sqlite, SqliteConnection, SqlitePool};
use tonic::transport::Channel;

use crate::first::{careful, with_table};
use crate::hubs::Filled;
use crate::times::Times;

/// So many that each caller has a recipe of its own that nothing uses.
const RECIPES: usize = 400;
const CALLERS: usize = 16;

const ALONE: &str = "durable release";
const ALONE_ROUNDS: usize = 101;

const AT_ONCE: &str = "durable releases at once";
const ROUNDS: usize = 15;

/// How many releases each caller makes in a round, one after the other.
const EACH: u32 = 8;

pub(crate) async fn measure(times: &mut Times) {
    let mut filled = Filled::with(RECIPES).await;
    let bare = bare(&filled.folder.path().join("bare.db")).await;
    let hub = ReleaseServiceClient::new(filled.hub.channel().await);
    one_by_one(&mut filled, &hub, &bare, times).await;
    at_once(&mut filled, &hub, &bare, times).await;
}

async fn one_by_one(
    filled: &mut Filled,
    hub: &ReleaseServiceClient<Channel>,
    bare: &SqlitePool,
    times: &mut Times,
) {
    let (mut ours, mut raw) = (Vec::new(), Vec::new());
    for round in 0..ALONE_ROUNDS {
        let release = filled.changed(&format!("Release {round}"));
        let start = Instant::now();
        release_one(hub, release.request()).await;
        ours.push(start.elapsed().as_secs_f64());
        let start = Instant::now();
        commit(bare, &release).await;
        raw.push(start.elapsed().as_secs_f64());
    }
    times.add(ALONE, "hub", "one recipe, over gRPC", ours);
    times.add(ALONE, "bare commit", "of the same bytes to SQLite", raw);
}

async fn at_once(
    filled: &mut Filled,
    hub: &ReleaseServiceClient<Channel>,
    bare: &SqlitePool,
    times: &mut Times,
) {
    let (mut ours, mut raw) = (Vec::new(), Vec::new());
    for round in 0..ROUNDS {
        let callers: Vec<_> = (0..CALLERS).map(|caller| own(filled, caller, round)).collect();
        let requests = callers.iter().map(|own| own.iter().map(FrozenRelease::request).collect());
        let requests: Vec<Vec<_>> = requests.collect();
        let hub = |request| release_one(hub, request);
        ours.push(each(requests, hub).await);
        raw.push(each(callers, |release| async move { commit(bare, &release).await }).await);
    }
    times.add(AT_ONCE, "hub", "one recipe each, 16 callers over gRPC", ours);
    times.add(AT_ONCE, "bare commit", "of the same bytes to SQLite, 16 callers", raw);
}

/// The releases that a caller makes in a round: of one recipe, which is the caller's own.
fn own(filled: &mut Filled, caller: usize, round: usize) -> Vec<FrozenRelease> {
    let place = filled.book.recipes.len() - 1 - caller;
    let mut recipe = filled.book.recipes[place].clone();
    let mut release = |turn| {
        recipe.note = Some(format!("Round {round}, turn {turn}"));
        filled.chef.release(&[DocumentContent::Recipe(recipe.clone())], &Audience::All)
    };
    (0..EACH).map(&mut release).collect()
}

/// The seconds for each of what the callers do, when all work through theirs at once.
async fn each<T, F: Future<Output = ()>>(callers: Vec<Vec<T>>, work: impl Fn(T) -> F) -> f64 {
    let count: usize = callers.iter().map(Vec::len).sum();
    let start = Instant::now();
    join_all(callers.into_iter().map(async |own| {
        for one in own {
            work(one).await;
        }
    }))
    .await;
    start.elapsed().as_secs_f64() / f64::from(u32::try_from(count).expect("few"))
}

async fn release_one(hub: &ReleaseServiceClient<Channel>, request: pb::CreateReleaseRequest) {
    hub.clone().create_release(request).await.expect("it is released");
}

async fn commit(file: &SqlitePool, release: &FrozenRelease) {
    let mut open = file.begin_with("BEGIN IMMEDIATE").await.expect("a transaction");
    let parts = release.parts.iter().map(|part| &part.bytes);
    let bodies = release.revisions.iter().map(|one| &one.bytes).chain(parts);
    let mut insert = QueryBuilder::<Sqlite>::new("INSERT INTO blob (digest, body) ");
    insert.push_values(bodies, |mut row, bytes| {
        row.push_bind(chablon_wire::digest(bytes).0.to_vec());
        row.push_bind(&bytes[..]);
    });
    insert.build().execute(&mut *open).await.expect("it is stored");
    open.commit().await.expect("it is stored");
}

/// A bare file with one connection that writes.
async fn bare(path: &Path) -> SqlitePool {
    let pool = SqlitePoolOptions::new().max_connections(1).test_before_acquire(false);
    let pool = pool.connect_with(careful(path)).await.expect("it opens");
    with_table(&pool).await;
    pool
}

/// A connection to a file as it is.
pub(crate) async fn plain(path: &Path) -> SqliteConnection {
    let options = SqliteConnectOptions::new().filename(path);
    options.connect().await.expect("it opens")
}
