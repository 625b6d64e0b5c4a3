//! What is in force for a site at a moment.

use std::collections::BTreeMap;

use chablon_model::{
    Audience, Digest, DocumentKey, Entry, EntryBody, Manifest, Moment, NextStep, RevisionRef,
    Standing, Withdrawal, in_force, standings,
};
use proptest::prelude::*;

fn key(text: &str) -> DocumentKey {
    text.parse().unwrap()
}

fn revision(number: u32) -> RevisionRef {
    let digest = Digest([u8::try_from(number).unwrap(); 32]);
    RevisionRef { key: key("recipe/honey-bavarois"), number, digest }
}

fn release(position: u64, number: u32, holds_from: i64) -> Entry {
    let manifest = Manifest {
        release: format!("release-{position}").parse().unwrap(),
        part: 1,
        part_count: 1,
        audience: Audience::All,
        holds_from: Moment(holds_from),
        at_sites: BTreeMap::new(),
        items: vec![revision(number)],
        note: "a reason".into(),
        author: "chef".into(),
    };
    Entry { position, body: EntryBody::Release(manifest) }
}

#[test]
fn a_site_with_a_moment_of_its_own_goes_by_that() {
    let (harbour, quay) = ("harbour".parse().unwrap(), "quay".parse().unwrap());
    let mut later = release(2, 2, 9);
    if let EntryBody::Release(manifest) = &mut later.body {
        manifest.at_sites.insert("harbour".parse().unwrap(), Moment(5));
        assert_eq!(manifest.span(), (Moment(5), Moment(9)));
    }
    let number = |site, at| {
        let view = [release(1, 1, 0), later.clone()].map(|entry| entry.at_site(site));
        match in_force(&view, &key("recipe/honey-bavarois"), Moment(at)) {
            Standing::InForce { revision, .. } => revision.number,
            _ => 0,
        }
    };
    assert_eq!([4, 5, 8, 9].map(|at| number(&harbour, at)), [1, 2, 2, 2]);
    assert_eq!([4, 5, 8, 9].map(|at| number(&quay, at)), [1, 1, 1, 2]);
}

fn withdrawal(position: u64, number: u32, next: NextStep, holds_from: i64) -> Entry {
    let withdrawal = Withdrawal {
        revision: revision(number),
        next,
        audience: Audience::All,
        holds_from: Moment(holds_from),
        reason: "a reason".into(),
        author: "chef".into(),
    };
    Entry { position, body: EntryBody::Withdrawal(withdrawal) }
}

/// The number in force, 0 where it is stopped, nothing where it was never released.
fn number_at(entries: &[Entry], at: i64) -> Option<u32> {
    match in_force(entries, &key("recipe/honey-bavarois"), Moment(at)) {
        Standing::None => None,
        Standing::InForce { revision, .. } => Some(revision.number),
        Standing::Stopped { .. } => Some(0),
    }
}

#[test]
fn nothing_is_in_force_before_its_moment() {
    let entries = [release(1, 1, 100)];
    assert_eq!(number_at(&entries, 99), None);
    assert_eq!(number_at(&entries, 100), Some(1));
}

#[test]
fn the_later_moment_wins_over_the_later_position() {
    let entries = [release(1, 1, 200), release(2, 2, 100)];
    assert_eq!(number_at(&entries, 150), Some(2));
    assert_eq!(number_at(&entries, 250), Some(1));
}

#[test]
fn of_one_moment_the_later_position_wins() {
    let entries = [release(2, 2, 100), release(1, 1, 100)];
    assert_eq!(number_at(&entries, 100), Some(2));
}

#[test]
fn a_withdrawal_goes_back_to_the_named_revision() {
    let back = withdrawal(3, 2, NextStep::GoBackTo(revision(1)), 300);
    let entries = [release(1, 1, 100), release(2, 2, 200), back];
    assert_eq!(number_at(&entries, 299), Some(2));
    assert_eq!(number_at(&entries, 300), Some(1));
}

#[test]
fn a_withdrawal_can_stop_a_recipe() {
    let entries = [release(1, 1, 100), withdrawal(2, 1, NextStep::MakeNone, 200)];
    assert_eq!(number_at(&entries, 250), Some(0));
}

#[test]
fn a_later_release_of_the_same_revision_stands_again() {
    let stop = withdrawal(2, 1, NextStep::MakeNone, 200);
    let entries = [release(1, 1, 100), stop, release(3, 1, 300)];
    assert_eq!(number_at(&entries, 250), Some(0));
    assert_eq!(number_at(&entries, 300), Some(1));
}

#[test]
fn what_was_gone_back_to_can_be_withdrawn_in_turn() {
    let back = withdrawal(3, 2, NextStep::GoBackTo(revision(1)), 300);
    let stop = withdrawal(4, 1, NextStep::MakeNone, 400);
    let entries = [release(1, 1, 100), release(2, 2, 200), back, stop];
    assert_eq!(number_at(&entries, 350), Some(1));
    assert_eq!(number_at(&entries, 400), Some(0));
}

#[test]
fn two_revisions_that_point_at_each_other_end() {
    let entries = [
        release(1, 1, 100),
        release(2, 2, 200),
        withdrawal(3, 2, NextStep::GoBackTo(revision(1)), 300),
        withdrawal(4, 1, NextStep::GoBackTo(revision(2)), 300),
    ];
    assert_eq!(number_at(&entries, 300), Some(2));
}

#[test]
fn the_withdrawal_of_another_revision_changes_nothing() {
    let other = withdrawal(3, 1, NextStep::MakeNone, 250);
    let entries = [release(1, 1, 100), release(2, 2, 200), other];
    assert_eq!(number_at(&entries, 300), Some(2));
}

fn any_entry(position: u64) -> impl Strategy<Value = Entry> {
    let released =
        (1..5u32, 0..50i64).prop_map(move |(number, from)| release(position, number, from));
    let withdrawn =
        (1..5u32, prop::option::of(1..5u32), 0..50i64).prop_map(move |(number, back, from)| {
            let next = back.map_or(NextStep::MakeNone, |n| NextStep::GoBackTo(revision(n)));
            withdrawal(position, number, next, from)
        });
    prop_oneof![2 => released, 1 => withdrawn]
}

fn any_feed() -> impl Strategy<Value = Vec<Entry>> {
    (1..12u64).prop_flat_map(|count| (1..=count).map(any_entry).collect::<Vec<_>>())
}

proptest! {
    #[test]
    fn the_order_in_which_entries_are_held_does_not_matter(
        (feed, mixed) in any_feed().prop_flat_map(|feed| (Just(feed.clone()), Just(feed).prop_shuffle())),
        at in 0..60i64,
    ) {
        prop_assert_eq!(number_at(&feed, at), number_at(&mixed, at));
    }

    #[test]
    fn later_entries_that_do_not_hold_yet_change_nothing(feed in any_feed(), at in 0..60i64) {
        let holding: Vec<Entry> = feed
            .iter()
            .filter(|entry| match &entry.body {
                EntryBody::Release(manifest) => manifest.holds_from <= Moment(at),
                EntryBody::Withdrawal(withdrawal) => withdrawal.holds_from <= Moment(at),
                EntryBody::Deviation(_) => true,
            })
            .cloned()
            .collect();
        prop_assert_eq!(number_at(&feed, at), number_at(&holding, at));
    }

    #[test]
    fn a_standing_is_listed_for_whatever_was_released_by_then(feed in any_feed(), at in 0..60i64) {
        let listed = standings(&feed, Moment(at));
        prop_assert_eq!(listed.len(), usize::from(number_at(&feed, at).is_some()));
    }
}
