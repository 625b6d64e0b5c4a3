//! Whom an ingredient's change of state reaches.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{Allergen, AllergenState, Ingredient, IngredientId, Recipe, RecipeId, Uses};

use super::States;

/// A code whose state an ingredient's new revision changes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StateChange {
    /// The group or kind.
    pub allergen: Allergen,
    /// What was stated.
    pub before: AllergenState,
    /// What is stated now.
    pub after: AllergenState,
}

/// What changes between two revisions of an ingredient.
pub fn state_changes(before: &Ingredient, after: &Ingredient) -> Vec<StateChange> {
    changes_between(&States::of_ingredient(before), &States::of_ingredient(after))
}

/// What changes from some states to others.
pub fn changes_between(before: &States, after: &States) -> Vec<StateChange> {
    let changed = after.all().filter_map(|(allergen, after)| {
        let before = before.of(&allergen);
        (before != after).then_some(StateChange { allergen, before, after })
    });
    changed.collect()
}

/// Every recipe that an ingredient is in, by id: those that take it, and those above them.
///
/// Whether a recipe can be computed doesn't matter, nor do loops: what is in it can hurt someone
/// all the same. A compound ingredient counts where it is made of this one.
pub fn reach<'a>(
    ingredients: impl IntoIterator<Item = &'a Ingredient>,
    recipes: impl IntoIterator<Item = &'a Recipe>,
    ingredient: &IngredientId,
) -> BTreeSet<RecipeId> {
    let mut users: BTreeMap<Uses, Vec<Uses>> = BTreeMap::new();
    let mut takes = |used: Uses, user: Uses| users.entry(used).or_default().push(user);
    for compound in ingredients {
        for part in &compound.made_of {
            let used = Uses::Ingredient(part.ingredient.clone());
            takes(used, Uses::Ingredient(compound.id.clone()));
        }
    }
    for recipe in recipes {
        for line in &recipe.lines {
            takes(line.uses.clone(), Uses::Component(recipe.id.clone()));
        }
    }
    walk_up(&users, ingredient)
}

fn walk_up(users: &BTreeMap<Uses, Vec<Uses>>, ingredient: &IngredientId) -> BTreeSet<RecipeId> {
    let start = Uses::Ingredient(ingredient.clone());
    let mut reached = BTreeSet::from([start.clone()]);
    let mut waiting = vec![start];
    while let Some(used) = waiting.pop() {
        for user in users.get(&used).into_iter().flatten() {
            if reached.insert(user.clone()) {
                waiting.push(user.clone());
            }
        }
    }
    let recipe = |used| match used {
        Uses::Component(id) => Some(id),
        Uses::Ingredient(_) => None,
    };
    reached.into_iter().filter_map(recipe).collect()
}
