//! What both kinds of victim need.

use std::time::Duration;

use chablon_sdk::model::{SiteId, View};
use chablon_sdk::{Client, Listed, Options, Release, Replica, now};
use chablon_tests::{Book, Hub, chablon};
use futures::TryStreamExt as _;
use rand::RngExt as _;
use rand::rngs::StdRng;

/// The kitchen that the tests look at.
pub(crate) const SITE: &str = "harbour";

/// Where the moments of death come from; printed, so that a failure can be tried again.
pub(crate) fn random() -> StdRng {
    let seed = std::env::var("CHABLON_KILL_SEED").ok().and_then(|text| text.parse().ok());
    let seed = seed.unwrap_or_else(|| rand::rng().random());
    #[expect(clippy::print_stdout, reason = "shown where the test failed")]
    {
        println!("CHABLON_KILL_SEED={seed}");
    }
    rand::SeedableRng::seed_from_u64(seed)
}

/// A moment up to a longest one.
pub(crate) fn within(random: &mut StdRng, longest: Duration) -> Duration {
    longest.mul_f64(random.random())
}

/// A release of the book as it stands, as a command.
pub(crate) fn release(book: &Book, hub: &str, note: &str) -> std::process::Command {
    let folder = book.folder();
    chablon(&["release", "--book", folder, "--hub", hub, "--note", note, "--yes"])
}

pub(crate) fn site() -> SiteId {
    SITE.parse().expect("a site's id")
}

/// What the hub says is in force at the kitchen.
pub(crate) async fn at_hub(hub: &Hub) -> Vec<Listed> {
    let client = client(hub);
    client.standards(&site(), None, None).try_collect().await.expect("the hub answers")
}

/// What the kitchen's replica says is in force.
pub(crate) async fn at_kitchen(replica: &Replica) -> Vec<Listed> {
    replica.standards(now()).await.expect("the replica answers")
}

/// All that the hub recorded.
pub(crate) async fn releases(hub: &Hub) -> Vec<Release> {
    client(hub).releases(&View::Whole).try_collect().await.expect("the hub answers")
}

fn client(hub: &Hub) -> Client {
    Client::connect([hub.url()], Options::default()).expect("an address")
}
