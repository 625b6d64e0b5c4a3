//! A hub killed while the chef releases.

use std::process::Stdio;
use std::sync::Arc;
use std::time::Duration;

use chablon_sdk::Release;
use chablon_sdk::model::EntryBody;
use chablon_tests::{Book, Hub};
use rand::rngs::StdRng;

use crate::common::{random, release, releases, within};

/// How often the hub dies.
const KILLS: u32 = 50;
/// In which time after its start it does.
const LONGEST: Duration = Duration::from_millis(350);

#[tokio::test]
async fn a_hub_killed_during_releases_loses_nothing_that_it_acknowledged() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let store = folder.path().join("hub.sqlite");
    let book = Book::write(&folder.path().join("book"), chablon_saltmarsh::files());
    let mut random = random();
    let first = Hub::start(&store);
    let address = first.address().to_owned();
    first.kill();
    let chef = Chef { first: book.bavarois(), book, hub: format!("http://{address}") };
    let mut acknowledged = Vec::new();
    let chef = Arc::new(chef);
    for round in 0..KILLS {
        let hub = Hub::start_at(&store, &address);
        let releasing = tokio::task::spawn_blocking({
            let chef = chef.clone();
            move || chef.release(round)
        });
        die(hub, &mut random).await;
        // The chef's own machine tries again by itself, so the hub comes back meanwhile.
        let hub = Hub::start_at(&store, &address);
        let (note, told) = releasing.await.expect("the release ends");
        acknowledged.extend(told.then_some(note));
        hub.kill();
    }
    let hub = Hub::start_at(&store, &address);
    holds_all(&hub, &acknowledged).await;
}

async fn die(hub: Hub, random: &mut StdRng) {
    tokio::time::sleep(within(random, LONGEST)).await;
    hub.kill();
}

/// Every acknowledged release is there once, and positions have no gap.
async fn holds_all(hub: &Hub, acknowledged: &[String]) {
    let recorded = releases(hub).await;
    let notes: Vec<&str> = recorded.iter().map(note_of).collect();
    for note in acknowledged {
        let times = notes.iter().filter(|one| **one == note.as_str()).count();
        assert_eq!(times, 1, "{note} was acknowledged, and is recorded {times} times");
    }
    assert!(
        acknowledged.len() > KILLS as usize / 4,
        "only {} were acknowledged",
        acknowledged.len()
    );
    let positions: Vec<u64> =
        recorded.iter().flat_map(|one| &one.parts).map(|part| part.position).collect();
    let dense: Vec<u64> = (1..).take(positions.len()).collect();
    assert_eq!(positions, dense);
}

fn note_of(release: &Release) -> &str {
    match &release.parts[0].says {
        EntryBody::Release(manifest) => &manifest.note,
        EntryBody::Withdrawal(_) | EntryBody::Deviation(_) => {
            panic!("a release is made of parts of a release")
        }
    }
}

struct Chef {
    book: Book,
    first: String,
    hub: String,
}

impl Chef {
    /// Releases another amount of honey; says whether the hub acknowledged it.
    fn release(&self, round: u32) -> (String, bool) {
        self.book.more_honey(&self.first, round);
        let note = format!("Round {round}");
        let mut command = release(&self.book, &self.hub, &note);
        let status = command.stdout(Stdio::null()).stderr(Stdio::null()).status();
        (note, status.expect("the release starts").success())
    }
}
