//! One validator for each guarantee, over what was recorded.

use std::collections::{BTreeMap, BTreeSet};

use chablon_sdk::model::{Digest, SiteId};

use crate::history::{History, Kitchen, Recorded, Seen};

/// Says what breaks a guarantee.
type Validator = fn(&History) -> Result<(), String>;

/// Every guarantee with its validator.
pub(crate) const ALL: [(&str, Validator); 7] = [
    ("no gap", no_gap),
    ("no duplicate", no_duplicate),
    ("no reordering", no_reordering),
    ("nothing acknowledged is lost", nothing_acknowledged_is_lost),
    ("each sees what concerns it, and nothing else", each_sees_what_concerns_it),
    ("nothing that was withdrawn is in force", nothing_withdrawn_is_in_force),
    ("all are equal in the end", all_are_equal),
];

/// Everyone who was given entries, one by one or as a whole.
fn sequences(history: &History) -> impl Iterator<Item = (String, &Vec<Seen>)> {
    let watched = history.watched.iter().map(|(who, watched)| (who.clone(), &watched.given));
    let held = history
        .kitchens
        .iter()
        .flat_map(|(site, kitchen)| kitchen.held.iter().map(move |held| (site.to_string(), held)));
    watched.chain(held)
}

/// Positions are dense; whatever a reader is given joins what it was given before; in the end
/// nobody lacks anything.
fn no_gap(history: &History) -> Result<(), String> {
    for (expected, recorded) in (1..).zip(&history.feed) {
        let at = recorded.seen.position;
        ensure(at == expected, || format!("the feed has {at} in the place of {expected}"))?;
    }
    for (who, given) in sequences(history) {
        let mut last = 0;
        for Seen { position, previous, .. } in given {
            let joins = *previous == last;
            ensure(joins, || format!("{who}: {position} follows {previous}, but {last} was last"))?;
            last = *position;
        }
    }
    for (who, watched) in &history.watched {
        let whole = watched.given == watched.view;
        ensure(whole, || format!("{who} was given {} entries", watched.given.len()))?;
    }
    Ok(())
}

/// Nobody is given a position twice; a request that was sent many times made one release, or one
/// withdrawal.
fn no_duplicate(history: &History) -> Result<(), String> {
    for (who, given) in sequences(history) {
        let mut seen = BTreeSet::new();
        let twice = given.iter().find(|one| !seen.insert(one.position));
        ensure(twice.is_none(), || format!("{who} was given {twice:?} twice"))?;
    }
    let mut requests: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for recorded in &history.feed {
        requests.entry(&recorded.note).or_default().insert(&recorded.made);
    }
    let twice = requests.iter().find(|(_, made)| made.len() > 1);
    ensure(twice.is_none(), || format!("one request was carried out more than once: {twice:?}"))
}

/// Everyone sees the one order of the feed, and it is that of time: what was sent after an answer
/// stands after what was answered.
fn no_reordering(history: &History) -> Result<(), String> {
    let feed: BTreeMap<u64, _> =
        history.feed.iter().map(|one| (one.seen.position, one.seen.digest)).collect();
    for (who, given) in sequences(history) {
        let ordered = given.is_sorted_by(|a, b| a.position < b.position);
        ensure(ordered, || format!("{who} was given entries out of order"))?;
        let other = given.iter().find(|one| feed.get(&one.position) != Some(&one.digest));
        ensure(other.is_none(), || format!("{who} was given {other:?}, which the feed has not"))?;
    }
    for (site, Kitchen { told, held, .. }) in &history.kitchens {
        ensure(told.is_sorted(), || format!("{site} went back: {told:?}"))?;
        let grows = held.is_sorted_by(|before, after| after.starts_with(before));
        ensure(grows, || format!("{site} lost or changed what it held"))?;
    }
    in_the_order_of_time(history)
}

fn in_the_order_of_time(history: &History) -> Result<(), String> {
    for one in &history.acknowledged {
        let before = history.acknowledged.iter().filter(|other| other.ended < one.began);
        let late = before.filter(|other| other.position >= one.position).max_by_key(|a| a.position);
        ensure(late.is_none(), || format!("{one:?} stands before {late:?}"))?;
    }
    Ok(())
}

/// What a hub acknowledged is in the feed, where it said, and at every kitchen that it concerns;
/// what a kitchen said it received, the hub knows.
fn nothing_acknowledged_is_lost(history: &History) -> Result<(), String> {
    let feed: BTreeMap<u64, &str> =
        history.feed.iter().map(|one| (one.seen.position, one.note.as_str())).collect();
    for one in &history.acknowledged {
        let there = feed.get(&one.position) == Some(&one.note.as_str());
        ensure(there, || format!("{one:?} was acknowledged and is not in the feed"))?;
    }
    for (site, kitchen) in &history.kitchens {
        let last = kitchen.held.last();
        ensure(last == Some(&kitchen.view), || format!("{site} doesn't hold its whole view"))?;
        let unknown = kitchen.view.iter().find(|one| !kitchen.received.contains(&one.position));
        ensure(unknown.is_none(), || format!("the hub doesn't know that {site} has {unknown:?}"))?;
    }
    Ok(())
}

/// A site's view is all of the feed that addresses it, and nothing else; so are what its kitchen
/// holds and what those are given who follow it, who have it whole by the other guarantees.
fn each_sees_what_concerns_it(history: &History) -> Result<(), String> {
    let concerns = |site: &SiteId, groups| -> Vec<(u64, Digest)> {
        let addressed = history.feed.iter().filter(|one| one.audience.addresses(site, groups));
        addressed.map(|one| (one.seen.position, one.seen.digest)).collect()
    };
    for (site, kitchen) in &history.kitchens {
        let concerns = concerns(site, &kitchen.groups);
        let watched =
            history.watched.values().filter(|watched| watched.site.as_ref() == Some(site));
        let views = watched.map(|watched| &watched.view).chain([&kitchen.view]);
        for view in views {
            let sees: Vec<_> = view.iter().map(|one| (one.position, one.digest)).collect();
            ensure(sees == concerns, || {
                format!("{site} sees {sees:?}, and {concerns:?} concerns it")
            })?;
        }
    }
    Ok(())
}

/// No kitchen goes by a revision that was withdrawn from it. None is ever released again here.
fn nothing_withdrawn_is_in_force(history: &History) -> Result<(), String> {
    for (site, Kitchen { groups, in_force, .. }) in &history.kitchens {
        let mut from_it = history.feed.iter().filter(|one| one.audience.addresses(site, groups));
        let goes_by = |one: &&Recorded| one.withdraws.is_some_and(|one| in_force.contains(&one));
        let passed = from_it.find(goes_by);
        ensure(passed.is_none(), || format!("{site} goes by what was withdrawn: {passed:?}"))?;
    }
    Ok(())
}

/// What is in force at a site is the same by every hub and by the kitchen itself.
fn all_are_equal(history: &History) -> Result<(), String> {
    for (site, Kitchen { states, .. }) in &history.kitchens {
        let mut digests = states.iter().map(|(_, digest)| digest);
        let first = digests.next();
        let equal = first.is_some() && digests.all(|digest| Some(digest) == first);
        ensure(equal, || format!("{site} differs: {states:?}"))?;
    }
    Ok(())
}

fn ensure(holds: bool, what: impl FnOnce() -> String) -> Result<(), String> {
    if holds { Ok(()) } else { Err(what()) }
}
