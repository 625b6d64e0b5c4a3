//! Kitchens, a chef and two hubs over one store in memory, on a simulated network with a clock of
//! its own: minutes of cut, held and broken lines in seconds.
//!
//! A seed decides which lines break when, how long messages take, which hub falls and when a
//! kitchen begins anew. Names that the chef draws and the jitter of pauses come from elsewhere, so a
//! seed finds the same faults again, not the same microsecond. Seeds that once found something
//! stay in [`KEPT`].

mod chef;
mod equal;
mod faulty;
mod kitchen;
mod ledger;
mod network;
mod scene;

use std::collections::BTreeSet;

use faulty::Fault;
use ledger::KINDS;
use rand::RngExt as _;
use scene::Group;

/// Seeds that are tried each time: those that failed once are added here.
const KEPT: [u64; 4] = [1, 2, 3, 5];

/// How many others are tried, unless `CHABLON_SEEDS` says otherwise.
const MORE: u64 = 4;

#[test]
fn every_kitchen_ends_equal_to_the_hub_whatever_breaks() {
    let mut came_about = BTreeSet::new();
    for seed in KEPT {
        for group in [Group::Unsigned, Group::Signed] {
            let played = scene::play(seed, group);
            let ledger = played.unwrap_or_else(|error| panic!("{group:?}, seed {seed}: {error}"));
            came_about.extend(ledger.came_about());
        }
    }
    assert_eq!(came_about, BTreeSet::from(KINDS), "the seeds show less than they should");
}

#[test]
fn seeds_that_nobody_tried_yet_end_equal_too() {
    let more = std::env::var("CHABLON_SEEDS").ok().map(|text| text.parse().expect("a number"));
    for _ in 0..more.unwrap_or(MORE) {
        let seed: u64 = rand::rng().random();
        let group = if rand::rng().random() { Group::Signed } else { Group::Unsigned };
        let played = scene::play(seed, group);
        played.unwrap_or_else(|error| panic!("add this to KEPT: {seed}, {group:?}: {error}"));
    }
}

/// What a simulation with a fault comes to.
fn found(fault: Fault, seed: u64) -> String {
    scene::play(seed, Group::Deceived(fault)).expect_err("a kitchen was deceived").to_string()
}

#[test]
fn hubs_that_leave_out_reorder_or_forget_entries_are_found_out() {
    let other = "than the hub shows it";
    for (fault, words) in
        [(Fault::Drops, other), (Fault::Swaps, other), (Fault::Forgets, "acknowledged and is lost")]
    {
        for seed in KEPT {
            let found = found(fault, seed);
            assert!(found.contains(words), "{fault:?}, seed {seed}: {found}");
        }
    }
}

/// All hubs show the same then, and no digest of what is in force tells it.
#[test]
fn a_store_that_loses_a_withdrawal_or_gives_a_deviation_away_is_found_out() {
    for (fault, words) in [
        (Fault::LosesAWithdrawal, "millrace has other withdrawals than concern it"),
        (Fault::GivesAway, "millrace has other deviations than the hub shows it"),
    ] {
        for seed in KEPT {
            let found = found(fault, seed);
            assert!(found.contains(words), "{fault:?}, seed {seed}: {found}");
        }
    }
}
