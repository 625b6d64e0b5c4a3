//! One changed recipe among many, for a kitchen that is up to date otherwise, beside git bringing a
//! clone up to date.

use std::time::Instant;

use chablon_sdk::Replica;
use tempfile::TempDir;

use crate::first::everything;
use crate::git::Git;
use crate::hubs::{Filled, bytes, empty};
use crate::times::Times;

const JOB: &str = "one change";
const ROUNDS: usize = 15;

/// A hub, a kitchen and a clone that are up to date.
struct Fresh {
    filled: Filled,
    replica: Replica,
    git: Git,
    folder: TempDir,
    ours: Vec<f64>,
    pulled: Vec<f64>,
}

impl Fresh {
    async fn of(filled: Filled) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let replica = empty(&folder.path().join("kitchen.db")).await;
        replica.sync(&filled.client).await.expect("it catches up");
        let served = tempfile::tempdir_in(folder.path()).expect("a folder").keep();
        let git = Git::serve(&served, &everything(&filled).await);
        git.clone_into(&folder.path().join("clone"));
        Self { filled, replica, git, folder, ours: Vec::new(), pulled: Vec::new() }
    }

    async fn round(&mut self, round: usize) {
        self.filled.change(&format!("Changed {round}")).await;
        let start = Instant::now();
        let synced = self.replica.sync(&self.filled.client).await.expect("it catches up");
        self.ours.push(start.elapsed().as_secs_f64());
        assert_eq!((synced.progress.entries, synced.progress.revisions), (1, 1));
        self.git.change(&format!("Changed {round}"));
        self.pulled.push(Git::pull(&self.folder.path().join("clone")));
    }

    /// How many bytes one more change is on the way, for the kitchen and for the clone.
    async fn bytes(&mut self) -> (String, String) {
        self.filled.change("Counted").await;
        let ours = self.filled.bytes_of_sync(&self.replica).await;
        self.git.change("Counted");
        (bytes(ours), bytes(self.git.bytes_of_pull(&self.folder.path().join("clone")).await))
    }
}

pub(crate) async fn measure(small: Filled, large: Filled, times: &mut Times) {
    let (mut small, mut large) = (Fresh::of(small).await, Fresh::of(large).await);
    for round in 0..ROUNDS {
        small.round(round).await;
        large.round(round).await;
    }
    let (ours, pulled) = large.bytes().await;
    times.note(JOB, "kitchen of 50,000", &format!("{ours} on the way"));
    times.note(JOB, "git pull of 50,000", &format!("{pulled} on the way"));
    times.add(JOB, "kitchen of 50,000", "", large.ours);
    times.add(JOB, "kitchen of 5,000", "", small.ours);
    times.add(JOB, "git pull of 50,000", "the same bytes as files", large.pulled);
    times.add(JOB, "git pull of 5,000", "the same bytes as files", small.pulled);
}
