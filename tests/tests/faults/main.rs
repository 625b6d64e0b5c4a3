//! Sixteen writers, three hubs on one database and twenty kitchens, while hubs, kitchens and the
//! database server are killed and the ways between them break. What everybody saw is written down,
//! and each guarantee has a validator that looks through it.

mod found_out;
mod group;
mod guarantees;
mod harm;
mod history;
mod hubs;
mod kitchens;
mod run;
mod watchers;
mod writers;

use rand::rngs::StdRng;
use rand::{RngExt as _, SeedableRng as _};

/// How many faults a run has, unless `CHABLON_FAULTS` says otherwise.
const FAULTS: u64 = 500;

#[tokio::test(flavor = "multi_thread", worker_threads = 4)]
async fn under_constant_faults_every_guarantee_holds() {
    let faults = asked("CHABLON_FAULTS").unwrap_or(FAULTS);
    let seed = asked("CHABLON_FAULTS_SEED").unwrap_or_else(|| rand::rng().random());
    tell(&format!("CHABLON_FAULTS_SEED={seed}"));
    let faults = faults.try_into().expect("fewer faults than four thousand millions");
    let history = run::run(faults, StdRng::seed_from_u64(seed)).await;
    let looked = guarantees::ALL.iter().map(|(name, holds)| (name, holds(&history)));
    let broken: Vec<String> =
        looked.filter_map(|(name, found)| Some(format!("{name}: {}", found.err()?))).collect();
    assert!(broken.is_empty(), "broken after {faults} faults:\n{}", broken.join("\n"));
    assert!(history.acknowledged.len() > 16, "the writers came to nothing");
    assert!(history.feed.iter().any(|one| one.withdraws.is_some()), "nobody withdrew anything");
    assert!(history.feed.iter().any(|one| one.decides), "no kitchen was granted anything");
}

fn asked(name: &str) -> Option<u64> {
    std::env::var(name).ok().map(|text| text.parse().expect("a whole number"))
}

/// Shown where the test failed.
#[expect(clippy::print_stdout, reason = "the test's own output")]
pub(crate) fn tell(what: &str) {
    println!("{what}");
}
