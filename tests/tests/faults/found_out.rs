//! A validator that finds nothing proves nothing unless it finds what is wrong.

use std::time::Duration;

use chablon_sdk::model::{Audience, Digest, SiteId};

use crate::guarantees::ALL;
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

/// The last one withdraws.
fn recorded(position: u64) -> Recorded {
    let (made, note) = (format!("release-{position}"), format!("note {position}"));
    let withdraws = (position == 4).then_some(Digest([30; 32]));
    let (audience, decides) = (Audience::All, false);
    Recorded { seen: seen(position), made, note, audience, withdraws, decides }
}

fn harbour() -> SiteId {
    "harbour".parse().expect("a site")
}

fn millrace() -> SiteId {
    "millrace".parse().expect("a site")
}

fn sound() -> History {
    let view: Vec<Seen> = (1..=4).map(seen).collect();
    let state = |who: &str| (who.to_owned(), Digest([9; 32]));
    let kitchen = Kitchen {
        groups: [].into(),
        told: vec![1, 1, 4],
        held: vec![view[..1].to_vec(), view.clone()],
        view: view.clone(),
        received: (1..=4).collect(),
        in_force: [Digest([20; 32])].into(),
        states: vec![state("a hub"), state("the kitchen")],
    };
    let watched = Watched { site: Some(harbour()), given: view.clone(), view };
    History {
        feed: (1..=4).map(recorded).collect(),
        acknowledged: (1..=4).map(acknowledged).collect(),
        watched: [("a watcher".to_owned(), watched)].into(),
        kitchens: [(harbour(), kitchen)].into(),
    }
}

fn kitchen(history: &mut History) -> &mut Kitchen {
    history.kitchens.values_mut().next().expect("one kitchen")
}

fn given(history: &mut History) -> &mut Vec<Seen> {
    &mut history.watched.values_mut().next().expect("one watcher").given
}

/// What breaks each guarantee, in the order of [`ALL`].
const HARM: [&[fn(&mut History)]; 7] = [
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
        |history| history.feed[1].audience = Audience::site(millrace()),
        |history| {
            kitchen(history).view.remove(1);
        },
        |history| {
            history.watched.values_mut().next().expect("one watcher").view.pop();
        },
    ],
    &[|history| {
        kitchen(history).in_force.insert(Digest([30; 32]));
    }],
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
