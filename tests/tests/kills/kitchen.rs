//! A kitchen killed while it catches up.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use chablon_sdk::Replica;
use chablon_tests::{Book, Hub, chablon, succeed};
use rand::rngs::StdRng;

use crate::common::{SITE, at_hub, at_kitchen, random, release, site, within};

/// How many times it must die at work.
const KILLS: u32 = 50;
/// How often that is tried at most; a kitchen that had finished doesn't count.
const TRIES: u32 = 600;
/// What there is to catch up with.
const RELEASES: u32 = 12;
/// Not every replica may start anew, or none would ever be resumed.
const KILLS_EACH: u32 = 5;

#[tokio::test]
async fn a_kitchen_killed_while_it_catches_up_ends_equal_to_the_hub() {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let hub = Hub::start(folder.path().join("hub.sqlite"));
    history(folder.path(), &hub);
    let mut random = random();
    let longest = usual(&folder.path().join("timed.sqlite"), &hub);
    let mut killed = 0;
    for replica in 0.. {
        let file = folder.path().join(format!("kitchen-{replica}.sqlite"));
        killed += kill_some(&file, &hub, &mut random, longest).await;
        succeed(&mut sync(&file, &hub));
        let kitchen = Replica::reopen(&file).await.expect("the replica opens");
        assert_eq!(at_kitchen(&kitchen).await, at_hub(&hub).await, "after {killed} kills");
        kitchen.close().await;
        if killed >= KILLS {
            break;
        }
        assert!(replica < TRIES / KILLS_EACH, "only {killed} kitchens died at work");
    }
    println!("{killed} kitchens died at work");
}

/// Releases one after the other, so that there is more than one thing to catch up with.
fn history(folder: &Path, hub: &Hub) {
    let book = Book::write(&folder.join("book"), chablon_saltmarsh::files());
    let first = book.bavarois();
    for round in 0..RELEASES {
        book.more_honey(&first, round);
        succeed(&mut release(&book, &hub.url(), &format!("Round {round}")));
    }
}

/// How long a kitchen takes that nobody kills.
fn usual(file: &Path, hub: &Hub) -> Duration {
    let begun = Instant::now();
    succeed(&mut sync(file, hub));
    begun.elapsed()
}

fn sync(file: &Path, hub: &Hub) -> Command {
    let file = file.to_str().expect("a path in UTF-8");
    chablon(&["kitchen", "sync", "--replica", file, "--site", SITE, "--hub", &hub.url()])
}

/// Kills one kitchen a few times over, and looks at what each death leaves behind.
async fn kill_some(file: &Path, hub: &Hub, random: &mut StdRng, longest: Duration) -> u32 {
    let mut killed = 0;
    for _ in 0..KILLS_EACH {
        let mut process = sync(file, hub)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .expect("the kitchen starts");
        tokio::time::sleep(within(random, longest)).await;
        process.kill().expect("it can be killed");
        // A process that a signal ended has no exit code.
        killed += u32::from(process.wait().expect("it ends").code().is_none());
        sound(file).await;
    }
    killed
}

/// Whatever was taken is whole: every digest fits its bytes, every entry has its revisions.
async fn sound(file: &Path) {
    if !file.exists() {
        return;
    }
    let replica = Replica::open(file, site()).await.expect("what is left opens");
    replica.check().await.expect("what is left is whole");
    replica.close().await;
}
