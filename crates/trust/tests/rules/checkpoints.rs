//! Checkpoints: what they cover, that they never go back, what is told when they lapse.

use chablon_model::{Audience, Checkpoint, Entry, Moment, NextStep};
use chablon_trust::{
    Chain, Notice, Payload, TrustError, goes_on, in_force_matches, known_at, notices, state_digest,
};
use std::slice::from_ref;

use crate::samples::{DAY, checkpoint, release, revision, root, withdrawal};

#[test]
fn rollback_within_a_history_is_refused() {
    let kept = checkpoint("e", 17, 5 * DAY);
    let refused = goes_on(&kept, &checkpoint("e", 16, 9 * DAY)).unwrap_err();
    assert_eq!(refused, TrustError::WentBack { seen: 17, shown: 16 });
    goes_on(&kept, &checkpoint("e", 17, 5 * DAY)).unwrap();
    goes_on(&kept, &checkpoint("e", 18, 6 * DAY)).unwrap();
    // Two hubs' clocks differ; the position decides.
    goes_on(&kept, &checkpoint("e", 17, 5 * DAY - 1)).unwrap();
}

#[test]
fn a_restored_old_backup_under_an_older_signature_is_refused() {
    let kept = checkpoint("e", 17, 5 * DAY);
    let refused = goes_on(&kept, &checkpoint("before", 40, 4 * DAY)).unwrap_err();
    assert!(matches!(refused, TrustError::OlderHistory { .. }), "{refused:?}");
    goes_on(&kept, &checkpoint("after", 3, 6 * DAY)).unwrap();
}

#[test]
fn the_chain_tells_every_change_of_a_view() {
    let body = |text: &str| chablon_wire::digest(text.as_bytes());
    let chain = |entries: &[(u64, Payload, &str)]| {
        let then = |chain: Chain, (at, payload, text): &(u64, Payload, &str)| {
            chain.then(*at, *payload, &body(text))
        };
        entries.iter().fold(Chain::new(), then).digest()
    };
    let (release, stop) = (Payload::ReleasePart, Payload::Withdrawal);
    let honest = [(1, release, "a"), (4, stop, "b"), (9, release, "c")];
    let others: [&[(u64, Payload, &str)]; 7] = [
        &[],
        &honest[..2],
        &honest[1..],
        &[honest[0], (9, release, "c"), (4, stop, "b")],
        &[honest[0], (5, stop, "b"), honest[2]],
        &[honest[0], (4, release, "b"), honest[2]],
        &[honest[0], (4, stop, "B"), honest[2]],
    ];
    assert_eq!(chain(&honest), chain(&honest));
    for other in others {
        assert_ne!(chain(&honest), chain(other), "{other:?}");
    }
}

/// By the text of the schema, written out by hand.
#[test]
fn the_digests_are_those_that_the_schema_describes() {
    assert_eq!(Chain::new().digest(), chablon_wire::digest(b"chablon chain 1"));
    let body = chablon_wire::digest(b"body");
    let by_hand = [
        &chablon_wire::digest(b"chablon chain 1").0[..],
        &[0, 0, 0, 0, 0, 0, 1, 2],
        &body.0,
        b"application/vnd.chablon.withdrawal.v1+protobuf",
    ];
    let chained = Chain::new().then(258, Payload::Withdrawal, &body);
    assert_eq!(chained.digest(), chablon_wire::digest(&by_hand.concat()));

    let [pear, honey] = [revision("recipe/pear", 2), revision("ingredient/honey", 1)];
    let entries = [release(1, Audience::All, &[honey.clone(), pear.clone()])];
    let text =
        format!("chablon state 1\ningredient/honey {}\nrecipe/pear {}", honey.digest, pear.digest);
    assert_eq!(state_digest(&entries, Moment(100)), chablon_wire::digest(text.as_bytes()));
    let nothing = chablon_wire::digest(b"chablon state 1");
    assert_eq!(state_digest(&entries, Moment(99)), nothing);
}

fn history() -> Vec<Entry> {
    let [one, two] = [1, 2].map(|number| revision("recipe/pear", number));
    vec![
        release(1, Audience::All, from_ref(&one)),
        release(2, Audience::All, from_ref(&two)),
        withdrawal(3, &two, NextStep::GoBackTo(one)),
    ]
}

#[test]
fn another_state_than_the_hub_signed_for_is_told() {
    let entries = history();
    let at = Moment(1000);
    let state = Some(state_digest(&entries, at));
    let shown = Checkpoint { issued_at: at, state, ..checkpoint("e", 3, 0) };
    in_force_matches(&shown, &entries, true).unwrap();
    let refused = in_force_matches(&shown, &entries[..2], true).unwrap_err();
    assert_eq!(refused, TrustError::OtherState { position: 3 });
    // Where more follows the hub says nothing of the state.
    let silent = Checkpoint { state: None, ..shown };
    in_force_matches(&silent, &entries[..2], false).unwrap();
    // At the end it must.
    let refused = in_force_matches(&silent, &entries, true).unwrap_err();
    assert_eq!(refused, TrustError::OtherState { position: 3 });
}

#[test]
fn a_stopped_standard_is_not_in_force() {
    let one = revision("recipe/pear", 1);
    let stopped =
        [release(1, Audience::All, from_ref(&one)), withdrawal(2, &one, NextStep::MakeNone)];
    assert_eq!(state_digest(&stopped, Moment(1000)), chablon_wire::digest(b"chablon state 1"));
}

#[test]
fn expiry_is_told_and_refuses_nothing() {
    let kept = checkpoint("e", 17, 5 * DAY);
    assert_eq!(notices(&root(1), Some(&kept), Moment(6 * DAY - 1)), []);
    let since = Moment(6 * DAY);
    assert_eq!(notices(&root(1), Some(&kept), since), [Notice::CheckpointExpired { since }]);
    let late = Moment(400 * DAY);
    let told = notices(&root(1), Some(&kept), late);
    let root_since = Moment(365 * DAY);
    assert_eq!(
        told,
        [Notice::RootExpired { since: root_since }, Notice::CheckpointExpired { since }]
    );
    // A freeze: the hub shows the very same again. It is taken, and told as expired.
    goes_on(&kept, &kept).unwrap();
}

#[test]
fn fast_forward_is_told() {
    let now = Moment(5 * DAY);
    let shown = checkpoint("e", 17, 9 * DAY);
    let told = notices(&root(1), Some(&shown), now);
    assert!(
        matches!(told[..], [Notice::ClockAhead { by }] if by.as_secs() == 4 * 86_400),
        "{told:?}"
    );
    assert_eq!(notices(&root(1), Some(&checkpoint("e", 17, 5 * DAY + 60_000)), now), []);
}

#[test]
fn a_kitchen_is_as_old_as_what_was_vouched_for_as_a_whole() {
    let (heard, digest) = (Some(Moment(9 * DAY)), Some(chablon_wire::digest(b"a state")));
    let whole = Checkpoint { state: digest, ..checkpoint("e", 17, 5 * DAY) };
    assert_eq!(known_at(Some(&whole), heard), Some(Moment(5 * DAY)), "a mirror went on answering");
    assert_eq!(known_at(Some(&whole), None), Some(Moment(5 * DAY)), "it came on a stick");
    // Halfway through catching up it goes by when it last had all.
    let halfway = Checkpoint { state: None, ..whole };
    assert_eq!(known_at(Some(&halfway), heard), heard);
    assert_eq!(known_at(Some(&halfway), None), None);
    assert_eq!(known_at(None, heard), heard, "nobody vouches");
}
