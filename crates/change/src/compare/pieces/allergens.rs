//! Allergens that recipes gain or lose.
//!
//! A change is told of the recipes at the top to which it shows: of a finished piece, or of a
//! component where what is made of it has the allergen anyway. What lies between goes with them.

use std::collections::{BTreeMap, BTreeSet};

use chablon_declare::allergens::{StateChange, States};
use chablon_model::{Allergen, RecipeId};

use crate::compare::Compared;
use crate::compare::sink::Sink;
use crate::{AllergenChange, Change, Pair, What};

type Changed<'a> = BTreeMap<&'a RecipeId, Vec<StateChange>>;

pub(super) fn compare(
    compared: &Compared<'_>,
    affected: &BTreeSet<&RecipeId>,
    changes: &mut Vec<Change>,
) {
    let by_recipe: Changed<'_> =
        affected.iter().filter_map(|id| Some((*id, state_changes(compared, id)?))).collect();
    for (id, states) in &by_recipe {
        let users = users(compared, id);
        let told = states
            .iter()
            .filter(|one| !told_by_another(one, states) && !shows_above(one, &users, &by_recipe));
        let told: BTreeSet<&Allergen> = told.map(|one| &one.allergen).collect();
        if !told.is_empty() {
            let mut sink = Sink { place: (*id).into(), changes };
            for change in declarations(compared, id, &told) {
                sink.add(What::Allergens(change));
            }
        }
    }
}

/// The codes whose state a recipe has otherwise, where both sides can tell.
fn state_changes(compared: &Compared<'_>, id: &RecipeId) -> Option<Vec<StateChange>> {
    let states = compared.sides.as_ref().map(|side| side.declarer.states(id).ok()).both()?;
    let changed = states.after.all().filter_map(|(allergen, after)| {
        let before = States::of(states.before, &allergen);
        (before != after).then_some(StateChange { allergen, before, after })
    });
    Some(changed.collect())
}

/// What is told, allergens of the same states and causes together.
fn declarations(
    compared: &Compared<'_>,
    id: &RecipeId,
    told: &BTreeSet<&Allergen>,
) -> Vec<AllergenChange> {
    let declared = compared.sides.as_ref().map(|side| side.declarer.allergens(id).ok());
    let Some(Pair { before, after }) = declared.both() else { return Vec::new() };
    let sides = before.into_iter().zip(after).map(|(before, after)| Pair::new(before, after));
    let mut changes: Vec<AllergenChange> = Vec::new();
    for sides in sides.filter(|sides| told.contains(&sides.after.allergen)) {
        let allergen = sides.after.allergen.clone();
        let state = sides.as_ref().map(|one| one.state);
        let because = sides.map(|one| one.because);
        let alike = |one: &&mut AllergenChange| one.state == state && one.because == because;
        match changes.iter_mut().find(alike) {
            Some(change) => change.allergens.push(allergen),
            None => changes.push(AllergenChange { allergens: vec![allergen], state, because }),
        }
    }
    changes
}

/// The recipes that use a component directly; none of a piece that is finished on either side.
fn users<'a>(compared: &Compared<'a>, id: &RecipeId) -> BTreeSet<&'a RecipeId> {
    let Pair { before, after } = &compared.sides;
    if before.finished.contains(id) || after.finished.contains(id) {
        return BTreeSet::new();
    }
    let of = |side: &super::super::Side<'a>| side.users.get(id).cloned().unwrap_or_default();
    of(before).into_iter().chain(of(after)).collect()
}

/// Whether a change shows in everything that is made of a component.
fn shows_above(one: &StateChange, users: &BTreeSet<&RecipeId>, changed: &Changed<'_>) -> bool {
    let same_way = |other: &StateChange| {
        other.allergen == one.allergen && (other.after > other.before) == (one.after > one.before)
    };
    let shows = |user: &&RecipeId| changed.get(user).is_some_and(|all| all.iter().any(same_way));
    !users.is_empty() && users.iter().all(shows)
}

/// Whether changes of a group and of its kinds say the same, so that one of them is enough: the
/// group where all its kinds go with it, else the kinds where one of them accounts for it.
fn told_by_another(one: &StateChange, changed: &[StateChange]) -> bool {
    let group = one.allergen.group();
    if one.allergen != group {
        let of_group = changed.iter().find(|other| other.allergen == group);
        return of_group.is_some_and(|of_group| goes_together(of_group, changed));
    }
    let accounts = |kind: &StateChange| {
        if one.after > one.before { kind.after == one.after } else { kind.before == one.before }
    };
    !goes_together(one, changed) && kinds(&group, changed).any(accounts)
}

/// Whether a group has kinds and every one of them goes the same way.
fn goes_together(group: &StateChange, changed: &[StateChange]) -> bool {
    let code = &group.allergen;
    let in_all = Allergen::codes().iter().filter(|kind| is_kind(kind, code)).count();
    let alike = |kind: &&StateChange| kind.before == group.before && kind.after == group.after;
    in_all > 0 && kinds(code, changed).filter(alike).count() == in_all
}

fn kinds<'c>(
    group: &'c Allergen,
    changed: &'c [StateChange],
) -> impl Iterator<Item = &'c StateChange> {
    changed.iter().filter(move |one| is_kind(one.allergen.code(), group))
}

fn is_kind(code: &str, group: &Allergen) -> bool {
    code.strip_prefix(group.code()).is_some_and(|kind| kind.starts_with('.'))
}
