//! Kitchens as processes of their own.

use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};
use std::sync::{Arc, Mutex};
use std::thread;
use std::time::Duration;

use chablon_sdk::Replica;
use chablon_sdk::model::SiteId;
use chablon_store::{FeedEntry, ReplicaStore as _};
use chablon_store_sqlite::SqliteReplica;
use chablon_tests::chablon;

use crate::history::Seen;

/// How long a kitchen may need to catch up, once all is mended: a line that was lost without a word
/// is noticed after half a minute.
const PATIENCE: Duration = Duration::from_mins(2);

/// How often that is looked at.
const LOOK: Duration = Duration::from_millis(500);

/// A kitchen that follows its hubs.
pub(crate) struct Kitchen {
    pub(crate) site: SiteId,
    file: PathBuf,
    hubs: String,
    process: Child,
    /// The positions that it tells of, over all its lives.
    told: Arc<Mutex<Vec<u64>>>,
    held: Vec<Vec<Seen>>,
}

impl Kitchen {
    pub(crate) fn start(folder: &Path, site: SiteId, hubs: &[String]) -> Self {
        let file = folder.join(format!("{site}.sqlite"));
        let (hubs, told) = (hubs.join(","), Arc::default());
        let process = follow(&file, &site, &hubs, &told);
        Self { site, file, hubs, process, told, held: Vec::new() }
    }

    /// Kills it, looks at what it leaves behind, and starts it again.
    pub(crate) async fn die_and_rise(&mut self) {
        self.kill();
        self.look().await;
        self.process = follow(&self.file, &self.site, &self.hubs, &self.told);
    }

    fn kill(&mut self) {
        self.process.kill().expect("it can be killed");
        self.process.wait().expect("it ends");
    }

    /// What it holds is whole, and noted.
    async fn look(&mut self) {
        if !self.file.exists() {
            return;
        }
        let store = SqliteReplica::open(&self.file).await.expect("what is left opens");
        store.check().await.expect("what is left is whole");
        let entries = store.entries().await.expect("what is left can be read");
        store.close().await;
        self.held.push(entries.iter().map(seen).collect());
    }

    /// Waits until it holds all up to a position and has said so, then kills it for good.
    pub(crate) async fn finish(mut self, position: u64) -> Finished {
        let caught_up = async {
            while !self.is_at(position).await {
                tokio::time::sleep(LOOK).await;
            }
        };
        // What is still missing after that is for the validators to find.
        let _late = tokio::time::timeout(PATIENCE, caught_up).await;
        self.kill();
        self.look().await;
        let told = self.told.lock().expect("nobody panicked").clone();
        Finished { site: self.site.clone(), file: self.file.clone(), told, held: self.held.clone() }
    }

    async fn is_at(&self, position: u64) -> bool {
        let Ok(replica) = Replica::reopen(&self.file).await else { return false };
        let status = replica.status().await.expect("the replica says how it stands");
        replica.close().await;
        status.unsaid == 0 && status.cursor.is_some_and(|cursor| cursor.position >= position)
    }
}

impl Drop for Kitchen {
    fn drop(&mut self) {
        // Already gone is as good.
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}

/// A kitchen that is at rest.
pub(crate) struct Finished {
    pub(crate) site: SiteId,
    pub(crate) file: PathBuf,
    pub(crate) told: Vec<u64>,
    pub(crate) held: Vec<Vec<Seen>>,
}

fn seen(entry: &FeedEntry) -> Seen {
    let FeedEntry { position, previous_position: previous, .. } = *entry;
    Seen { position, previous, digest: entry.body.digest }
}

fn follow(file: &Path, site: &SiteId, hubs: &str, told: &Arc<Mutex<Vec<u64>>>) -> Child {
    let mut command = chablon(&["kitchen", "follow", "--site", site.as_str(), "--hub", hubs]);
    command.arg("--replica").arg(file).stdout(Stdio::piped()).stderr(Stdio::null());
    let mut process = command.spawn().expect("the kitchen starts");
    let lines = BufReader::new(process.stdout.take().expect("standard output is piped")).lines();
    let told = Arc::clone(told);
    // It ends with the process.
    thread::spawn(move || {
        let positions = lines.map_while(Result::ok).filter_map(|line| position(&line));
        positions.for_each(|position| told.lock().expect("nobody panicked").push(position));
    });
    process
}

/// The position in a line such as `harbour is up to date (feed position 7).`
fn position(line: &str) -> Option<u64> {
    let (_, rest) = line.split_once("(feed position ")?;
    rest.split_once(')')?.0.parse().ok()
}
