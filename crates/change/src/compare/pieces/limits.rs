//! Critical limits that a piece gains or loses because it is made of other components.

use std::collections::BTreeSet;

use chablon_model::{RecipeId, Uses};

use crate::compare::sink::Sink;
use crate::compare::{Compared, Side};
use crate::matching::{Pairing, differ};
use crate::{Limit, Pair, What, sense};

/// A component that both sides of a piece have says itself what changes. Here are those that only
/// one side has: a limit that the other has in a step of the same name is that limit.
pub(super) fn compare(compared: &Compared<'_>, piece: &RecipeId, sink: &mut Sink<'_>) {
    let reached = compared.sides.as_ref().map(|side| reached(side, piece));
    let of = |side: &Side<'_>, own: &BTreeSet<&RecipeId>, other: &BTreeSet<&RecipeId>| {
        own.difference(other).flat_map(|recipe| limits(side, recipe)).collect::<Vec<_>>()
    };
    let Pair { before, after } = &compared.sides;
    let before = of(before, &reached.before, &reached.after);
    let after = of(after, &reached.after, &reached.before);
    let said = |limit: &'_ Limit| Some((limit.step.clone(), limit.control.measure));
    let pairs = Pairing::of(Pair::new(&before[..], &after))
        .by_key(|limit| Some((&limit.step, sense::control(&limit.control))))
        .by_key(said);
    for limit in pairs.items().filter(|limit| differ(limit, |one| sense::control(&one.control))) {
        sink.add(What::Limit(limit.map(|limit| limit.cloned().map(Box::new))));
    }
}

/// The recipes that a piece is made of, and itself.
fn reached<'a>(side: &Side<'a>, piece: &RecipeId) -> BTreeSet<&'a RecipeId> {
    let mut reached = BTreeSet::new();
    let mut waiting: Vec<&RecipeId> = vec![piece];
    while let Some(id) = waiting.pop() {
        let Some(recipe) = side.edition.recipe(id).filter(|one| reached.insert(&one.id)) else {
            continue;
        };
        waiting.extend(recipe.lines.iter().filter_map(|line| match &line.uses {
            Uses::Component(id) => Some(id),
            Uses::Ingredient(_) => None,
        }));
    }
    reached
}

fn limits<'a>(side: &Side<'a>, recipe: &RecipeId) -> impl Iterator<Item = Limit> + use<'a> {
    let steps = side
        .edition
        .recipe(recipe)
        .into_iter()
        .flat_map(|recipe| recipe.steps.iter().map(move |step| (recipe, step)));
    let controls = steps.flat_map(|(recipe, step)| {
        step.controls.iter().map(move |control| (recipe, step, control))
    });
    controls.filter(|(.., control)| control.critical).map(|(recipe, step, control)| Limit {
        recipe: recipe.id.clone(),
        step: step.id.clone(),
        control: control.clone(),
    })
}
