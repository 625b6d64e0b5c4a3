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

/// All that is tried without a fault.
const GROUPS: [Group; 3] = [
    Group { signs: false, compacts: false, fault: None },
    Group { signs: true, compacts: false, fault: None },
    Group { signs: true, compacts: true, fault: None },
];

#[test]
fn every_kitchen_ends_equal_to_the_hub_whatever_breaks() {
    let mut came_about = BTreeSet::new();
    for seed in KEPT {
        for group in GROUPS {
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
        let (signs, compacts) = (rand::rng().random(), rand::rng().random());
        let group = Group { signs, compacts, fault: None };
        let played = scene::play(seed, group);
        played.unwrap_or_else(|error| panic!("add this to KEPT: {seed}, {group:?}: {error}"));
    }
}

/// Every fault, with what is found of it by comparing, and what a kitchen says of it that verifies. Of
/// what was never recorded only those can tell who were told that it was.
const FAULTS: [(Fault, &str, &str); 5] = [
    (Fault::Drops, "than the hub shows it", "are not those that the hub signed for"),
    (Fault::Swaps, "than the hub shows it", "are not those that the hub signed for"),
    (Fault::Forgets, "acknowledged and is lost", "acknowledged and is lost"),
    (
        Fault::LosesAWithdrawal,
        "millrace has other withdrawals than concern it",
        "are not those that the hub signed for",
    ),
    (
        Fault::GivesAway,
        "millrace has other deviations than the hub shows it",
        "addresses others, not this site",
    ),
];

/// What a simulation with a fault comes to.
fn found(fault: Fault, signs: bool, seed: u64) -> String {
    let group = Group { signs, ..Group::default() }.deceived(fault);
    scene::play(seed, group).expect_err("a kitchen was deceived").to_string()
}

/// Where all hubs wrong a kitchen alike it is equal to each of them, and no digest of what is in force
/// tells it: the chef's own record does.
#[test]
fn whatever_hubs_or_their_store_do_wrong_is_found_out() {
    for (fault, words, _) in FAULTS {
        for seed in KEPT {
            let found = found(fault, false, seed);
            assert!(found.contains(words), "{fault:?}, seed {seed}: {found}");
        }
    }
}

#[test]
fn a_kitchen_that_verifies_finds_it_out_by_itself() {
    for (fault, _, words) in FAULTS {
        let found = found(fault, true, KEPT[0]);
        assert!(found.contains(words), "{fault:?}: {found}");
    }
}
