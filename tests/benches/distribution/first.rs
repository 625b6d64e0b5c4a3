//! The first synchronisation of a kitchen, beside a bare stream of the same bytes into a bare SQLite
//! file, and beside git cloning the same bytes as files.

use std::path::Path;
use std::time::Instant;

use chablon_wire::pb;
use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqliteSynchronous};
use sqlx::{ConnectOptions as _, Connection as _, QueryBuilder, SqliteConnection, SqliteExecutor};

use crate::git::Git;
use crate::hubs::{Filled, bytes as shown, empty, view};
use crate::raw::{Raw, Serving};
use crate::times::Times;

const JOB: &str = "first synchronisation";
const ROUNDS: usize = 7;

/// After how many bytes a transaction ends, as a replica does.
const TRANSACTION_BYTES: usize = 1 << 20;

pub(crate) async fn measure(filled: &Filled, times: &mut Times) {
    let all = everything(filled).await;
    let bytes: usize = all.iter().map(|frozen| frozen.body.len()).sum();
    let raw = Raw::new(pb::ListChangesResponse::default(), streamed(&all)).serve().await;
    let git = Git::serve(filled.folder.path(), &all);
    let (mut ours, mut cloned) = (Vec::new(), Vec::new());
    let mut bare = BARE.map(|_| Vec::new());
    for round in 0..ROUNDS {
        let folder = tempfile::tempdir().expect("a folder");
        let path = |name: &str| folder.path().join(format!("{name}-{round}"));
        settle(folder.path());
        ours.push(replica(filled, &path("kitchen")).await);
        for ((rows, _), times) in BARE.iter().zip(&mut bare) {
            settle(folder.path());
            let path = path(&format!("bare-{rows}"));
            times.push(stream_into_sqlite(&raw, all.len(), *rows, &path).await);
        }
        settle(folder.path());
        cloned.push(git.clone_into(&path("clone")));
    }
    let size = format!("{} documents of {}", all.len(), shown(bytes as u64));
    let folder = tempfile::tempdir().expect("a folder");
    let replica = empty(&folder.path().join("kitchen.db")).await;
    let travelled = shown(filled.bytes_of_sync(&replica).await);
    times.note(JOB, "kitchen", &format!("{travelled} on the way"));
    let travelled = shown(git.bytes_of_clone(&folder.path().join("clone")).await);
    times.note(JOB, "git clone", &format!("{travelled} on the way"));
    times.add(JOB, "kitchen", &size, ours);
    for ((_, who), bare) in BARE.iter().zip(bare) {
        times.add(JOB, who, "the same bytes into SQLite", bare);
    }
    times.add(JOB, "git clone", "the same bytes as files, over its daemon", cloned);
}

/// The bare streams, by how many rows a statement has.
const BARE: [(usize, &str); 2] =
    [(IN_MESSAGE, "bare stream by message"), (1, "bare stream by row")];

/// Waits until the disk has what was done before: who comes next would wait for it. A clone is
/// thousands of files, which are also removed again.
fn settle(folder: &Path) {
    let file = std::fs::File::create(folder.join("settled")).expect("a file");
    file.sync_all().expect("it is on the disk");
}

async fn replica(filled: &Filled, path: &Path) -> f64 {
    let start = Instant::now();
    let replica = empty(path).await;
    let synced = replica.sync(&filled.client).await.expect("it catches up");
    let took = start.elapsed().as_secs_f64();
    assert!(synced.progress.revisions > filled.book.recipes.len() as u64);
    replica.close().await;
    took
}

/// Every revision of the site's view, as bytes with their digest.
pub(crate) async fn everything(filled: &Filled) -> Vec<pb::FrozenBytes> {
    use futures::TryStreamExt as _;
    let listed: Vec<_> = filled.client.documents(&view()).try_collect().await.expect("listed");
    let digests = listed.into_iter().map(|one| one.digest);
    let all = filled.client.revisions(&view(), digests);
    all.map_ok(|one| pb::FrozenBytes {
        body: one.bytes().clone(),
        digest: one.reference().digest.0.to_vec().into(),
        signatures: Vec::new(),
    })
    .try_collect()
    .await
    .expect("all are there")
}

/// How many are in a message: some 256 KiB.
const IN_MESSAGE: usize = 128;

/// The bytes in messages.
fn streamed(all: &[pb::FrozenBytes]) -> Vec<pb::WatchChangesResponse> {
    let entry = |frozen: &pb::FrozenBytes| pb::FeedEntry {
        body: Some(pb::feed_entry::Body::ReleasePart(frozen.clone())),
        ..pb::FeedEntry::default()
    };
    let answer = |some: &[pb::FrozenBytes]| pb::WatchChangesResponse {
        entries: some.iter().map(entry).collect(),
        ..pb::WatchChangesResponse::default()
    };
    all.chunks(IN_MESSAGE).map(answer).collect()
}

async fn stream_into_sqlite(raw: &Serving, count: usize, rows: usize, path: &Path) -> f64 {
    let start = Instant::now();
    let mut file = open(path).await;
    let request = pb::WatchChangesRequest::default();
    let mut stream =
        raw.client().await.watch_changes(request).await.expect("a stream").into_inner();
    let (mut came, mut bytes) = (0, 0);
    let mut open = file.begin().await.expect("a transaction");
    while came < count {
        let message = stream.message().await.expect("it goes on").expect("all of it");
        let frozen: Vec<_> = message.entries.into_iter().filter_map(frozen).collect();
        for some in frozen.chunks(rows) {
            let mut insert = QueryBuilder::new("INSERT INTO blob (digest, body) ");
            insert.push_values(some, |mut row, one| {
                row.push_bind(one.digest.to_vec()).push_bind(one.body.to_vec());
            });
            insert.build().execute(&mut *open).await.expect("it is stored");
        }
        came += frozen.len();
        bytes += frozen.iter().map(|one| one.body.len()).sum::<usize>();
        if bytes >= TRANSACTION_BYTES {
            open.commit().await.expect("it is stored");
            (open, bytes) = (file.begin().await.expect("a transaction"), 0);
        }
    }
    open.commit().await.expect("it is stored");
    start.elapsed().as_secs_f64()
}

fn frozen(entry: pb::FeedEntry) -> Option<pb::FrozenBytes> {
    match entry.body {
        Some(pb::feed_entry::Body::ReleasePart(frozen)) => Some(frozen),
        _ => None,
    }
}

/// A bare file with the same care for what was committed.
async fn open(path: &Path) -> SqliteConnection {
    let mut file = careful(path).connect().await.expect("it opens");
    with_table(&mut file).await;
    file
}

/// How a bare file is opened that is as careful with what was committed.
pub(crate) fn careful(path: &Path) -> SqliteConnectOptions {
    SqliteConnectOptions::new()
        .filename(path)
        .create_if_missing(true)
        .journal_mode(SqliteJournalMode::Wal)
        .synchronous(SqliteSynchronous::Full)
}

/// Makes the one table of a bare file.
pub(crate) async fn with_table(file: impl SqliteExecutor<'_>) {
    let table = "CREATE TABLE blob (digest BLOB PRIMARY KEY, body BLOB NOT NULL) STRICT";
    sqlx::query(table).execute(file).await.expect("a table");
}
