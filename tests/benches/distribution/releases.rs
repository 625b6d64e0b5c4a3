//! Releases that last, one after another, beside bare commits of the same bytes.

use std::path::Path;
use std::time::Instant;

use chablon_testkit::FrozenRelease;
use chablon_wire::pb::release_service_client::ReleaseServiceClient;
use sqlx::{ConnectOptions as _, Connection as _, SqliteConnection};

use crate::first::open;
use crate::hubs::{Filled, send};
use crate::times::Times;

const JOB: &str = "durable release";
const ROUNDS: usize = 101;

pub(crate) async fn measure(times: &mut Times) {
    let mut filled = Filled::with(200).await;
    let mut bare = open(&filled.folder.path().join("bare.db")).await;
    let mut releases = ReleaseServiceClient::new(filled.hub.channel().await);
    let (mut ours, mut raw) = (Vec::new(), Vec::new());
    for round in 0..ROUNDS {
        let release = filled.changed(&format!("Release {round}"));
        let start = Instant::now();
        send(&mut releases, &release).await;
        ours.push(start.elapsed().as_secs_f64());
        let start = Instant::now();
        commit(&mut bare, &release).await;
        raw.push(start.elapsed().as_secs_f64());
    }
    times.add(JOB, "hub", "one recipe, over gRPC", ours);
    times.add(JOB, "bare commit", "of the same bytes to SQLite", raw);
}

async fn commit(file: &mut SqliteConnection, release: &FrozenRelease) {
    let mut open = file.begin().await.expect("a transaction");
    let parts = release.parts.iter().map(|part| &part.bytes);
    for bytes in release.revisions.iter().map(|one| &one.bytes).chain(parts) {
        let insert = sqlx::query("INSERT INTO blob (digest, body) VALUES (?1, ?2)");
        let digest = chablon_wire::digest(bytes);
        let insert = insert.bind(&digest.0[..]).bind(&bytes[..]);
        insert.execute(&mut *open).await.expect("it is stored");
    }
    open.commit().await.expect("it is stored");
}

/// A connection to a file as it is.
pub(crate) async fn plain(path: &Path) -> SqliteConnection {
    let options = sqlx::sqlite::SqliteConnectOptions::new().filename(path);
    options.connect().await.expect("it opens")
}
