//! One validator for each guarantee, over what was recorded.

use std::collections::{BTreeMap, BTreeSet};

use crate::history::{History, Kitchen, Seen};

/// Says what breaks a guarantee.
type Validator = fn(&History) -> Result<(), String>;

/// Every guarantee with its validator.
pub(crate) const ALL: [(&str, Validator); 5] = [
    ("no gap", no_gap),
    ("no duplicate", no_duplicate),
    ("no reordering", no_reordering),
    ("nothing acknowledged is lost", nothing_acknowledged_is_lost),
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

/// Nobody is given a position twice; a request that was sent many times made one release.
fn no_duplicate(history: &History) -> Result<(), String> {
    for (who, given) in sequences(history) {
        let mut seen = BTreeSet::new();
        let twice = given.iter().find(|one| !seen.insert(one.position));
        ensure(twice.is_none(), || format!("{who} was given {twice:?} twice"))?;
    }
    let mut releases: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for recorded in &history.feed {
        releases.entry(&recorded.note).or_default().insert(&recorded.release);
    }
    let twice = releases.iter().find(|(_, made)| made.len() > 1);
    ensure(twice.is_none(), || format!("one request made several releases: {twice:?}"))
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

/// A validator that finds nothing proves nothing unless it finds what is wrong.
mod tests {
    use std::time::Duration;

    use chablon_sdk::model::Digest;

    use super::ALL;
    use crate::history::{Acknowledged, History, Kitchen, Recorded, Seen, Watched};

    fn seen(position: u64) -> Seen {
        let digest = Digest([u8::try_from(position).expect("a short history"); 32]);
        Seen { position, previous: position - 1, digest }
    }

    fn acknowledged(position: u64) -> Acknowledged {
        let began = Duration::from_secs(2 * position);
        let ended = began + Duration::from_secs(1);
        Acknowledged { note: format!("note {position}"), position, began, ended }
    }

    fn recorded(position: u64) -> Recorded {
        let (release, note) = (format!("release-{position}"), format!("note {position}"));
        Recorded { seen: seen(position), release, note }
    }

    fn sound() -> History {
        let view: Vec<Seen> = (1..=4).map(seen).collect();
        let state = |who: &str| (who.to_owned(), Digest([9; 32]));
        let kitchen = Kitchen {
            told: vec![1, 1, 4],
            held: vec![view[..1].to_vec(), view.clone()],
            view: view.clone(),
            received: (1..=4).collect(),
            states: vec![state("a hub"), state("the kitchen")],
        };
        History {
            feed: (1..=4).map(recorded).collect(),
            acknowledged: (1..=4).map(acknowledged).collect(),
            watched: [("a watcher".to_owned(), Watched { given: view.clone(), view })].into(),
            kitchens: [("harbour".parse().expect("a site"), kitchen)].into(),
        }
    }

    fn kitchen(history: &mut History) -> &mut Kitchen {
        history.kitchens.values_mut().next().expect("one kitchen")
    }

    fn given(history: &mut History) -> &mut Vec<Seen> {
        &mut history.watched.values_mut().next().expect("one watcher").given
    }

    /// What breaks each guarantee, in the order of [`ALL`].
    const HARM: [&[fn(&mut History)]; 5] = [
        &[
            |history| drop(history.feed.remove(1)),
            |history| {
                given(history).remove(1);
            },
            |history| {
                given(history).pop();
            },
            |history| {
                kitchen(history).held[1].remove(2);
            },
        ],
        &[
            |history| given(history).push(seen(4)),
            |history| kitchen(history).held[1].insert(2, seen(2)),
            |history| history.feed[3].note.replace_range(.., "note 1"),
        ],
        &[
            |history| given(history).swap(1, 2),
            |history| kitchen(history).told.push(3),
            |history| kitchen(history).held.swap(0, 1),
            |history| given(history)[2].digest = Digest([7; 32]),
            |history| history.acknowledged[2].began = Duration::from_mins(1),
        ],
        &[
            |history| drop(history.feed.pop()),
            |history| history.feed[1].note.replace_range(.., "another"),
            |history| drop(kitchen(history).held.pop()),
            |history| {
                kitchen(history).received.remove(&2);
            },
        ],
        &[
            |history| kitchen(history).states[1].1 = Digest([8; 32]),
            |history| kitchen(history).states.clear(),
        ],
    ];

    #[test]
    fn a_sound_history_passes_all() {
        for (name, holds) in ALL {
            holds(&sound()).unwrap_or_else(|what| panic!("{name}: {what}"));
        }
    }

    #[test]
    fn each_validator_finds_what_breaks_its_guarantee() {
        for ((name, holds), harms) in ALL.iter().zip(HARM) {
            for (number, harm) in harms.iter().enumerate() {
                let mut history = sound();
                harm(&mut history);
                assert!(holds(&history).is_err(), "{name} passes over harm {number}");
            }
        }
    }
}
