//! Kitchens, a chef and two hubs over one store in memory, on a simulated network with a clock of
//! its own: minutes of cut, held and broken lines in seconds.
//!
//! A seed decides which lines break when, how long messages take, which hub falls and when a
//! kitchen begins anew. Names that the chef draws and the jitter of pauses come from elsewhere, so a
//! seed finds the same faults again, not the same microsecond. Seeds that once found something
//! stay in [`KEPT`].

mod faulty;
mod network;
mod scene;

use faulty::Fault;
use rand::RngExt as _;
use scene::Group;

/// Seeds that are tried each time: those that failed once are added here.
const KEPT: [u64; 4] = [1, 2, 3, 5];

/// How many others are tried, unless `CHABLON_SEEDS` says otherwise.
const MORE: u64 = 4;

#[test]
fn every_kitchen_ends_equal_to_the_hub_whatever_breaks() {
    for seed in KEPT {
        for group in [Group::Unsigned, Group::Signed] {
            let played = scene::play(seed, group);
            played.unwrap_or_else(|error| panic!("{group:?}, seed {seed}: {error}"));
        }
    }
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

#[test]
fn hubs_that_leave_out_reorder_or_forget_entries_are_found_out() {
    let other = "than the hub shows it";
    for (fault, words) in
        [(Fault::Drops, other), (Fault::Swaps, other), (Fault::Forgets, "acknowledged and is lost")]
    {
        for seed in KEPT {
            let found =
                scene::play(seed, Group::Deceived(fault)).expect_err("a kitchen was deceived");
            let found = found.to_string();
            assert!(found.contains(words), "{fault:?}, seed {seed}: {found}");
        }
    }
}
