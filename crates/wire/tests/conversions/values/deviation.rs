//! Arbitrary deviations.

use chablon_model::{
    Allergen, Amount, Decision, Departure, Deviation, DeviationLimits, DocumentKind, Grant,
    LineRef, NewAmount,
};
use proptest::collection::{btree_set, vec};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

use super::quantity::{any_of, number, positive};
use super::recipe::{control, fixed, uses};
use super::{id, moment, reference, text, words};

pub(crate) fn deviation() -> impl Strategy<Value = Deviation> {
    let limits = (option::of(any_of()), option::of(any_of()))
        .prop_map(|(max_share, tolerance)| DeviationLimits { max_share, tolerance });
    let time = (moment(), moment()).prop_filter("some time", |(one, other)| one != other);
    (id(), id(), reference(), vec(departure(), 1..4), limits, time, words(), decision()).prop_map(
        |(id, site, mut based_on, departures, limits, (one, other), reason, decision)| {
            based_on.key.kind = DocumentKind::Recipe;
            let (from, until) = (one.min(other), one.max(other));
            Deviation { id, site, based_on, departures, limits, from, until, reason, decision }
        },
    )
}

fn departure() -> impl Strategy<Value = Departure> {
    prop_oneof![
        (line(), id(), amount()).prop_map(|(line, with, amount)| Departure::Ingredient {
            line,
            with,
            amount
        }),
        (line(), amount()).prop_map(|(line, to)| Departure::Amount { line, to }),
        (id(), text(1)).prop_map(|(step, to)| Departure::Wording { step, to }),
        (id(), 1..=u32::MAX, control()).prop_map(|(step, number, to)| Departure::Control {
            step,
            number,
            to
        }),
    ]
}

fn line() -> impl Strategy<Value = LineRef> {
    (1..=u32::MAX, uses()).prop_map(|(number, uses)| LineRef { number, uses })
}

fn amount() -> impl Strategy<Value = NewAmount> {
    let above_zero =
        number().prop_filter("above 0", |one| one.exact() > chablon_quantity::Exact::from(0));
    prop_oneof![
        above_zero.prop_map(NewAmount::Times),
        fixed().prop_map(NewAmount::Exactly),
        positive().prop_map(|share| NewAmount::Exactly(Amount::Share(share))),
    ]
}

fn decision() -> impl Strategy<Value = Decision> {
    let allergens: Vec<Allergen> = ["gluten", "gluten.wheat", "nuts", "nuts.almond", "milk", "egg"]
        .iter()
        .map(|code| code.parse().unwrap())
        .collect();
    let grant =
        (words(), moment(), option::of(words()), btree_set(select(allergens), 0..4), any::<bool>())
            .prop_map(|(by, at, note, allergens, critical_limits)| {
                Decision::Granted(Grant { by, at, note, allergens, critical_limits })
            });
    let refusal = (words(), moment(), words()).prop_map(|(by, at, reason)| Decision::Refused {
        by,
        at,
        reason,
    });
    prop_oneof![Just(Decision::Asked), grant, refusal]
}
