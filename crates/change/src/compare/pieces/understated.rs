//! Compound ingredients that say less of an allergen than what they are made of.
//!
//! A piece has the allergens that its ingredients state. Where a constituent deep in a compound
//! ingredient comes to contain one and the compound ingredient doesn't say so, no piece would
//! show it.

use std::collections::{BTreeMap, BTreeSet};

use chablon_declare::allergens::States;
use chablon_model::{Allergen, AllergenState, Ingredient, IngredientId};

use crate::compare::{Compared, Side};
use crate::{Change, Pair, What};

pub(super) fn compare(compared: &Compared<'_>, changes: &mut Vec<Change>) {
    let sides = compared.sides.as_ref().map(understated);
    let keys: BTreeSet<&Key<'_>> = sides.before.keys().chain(sides.after.keys()).collect();
    for key in keys {
        let said = sides.as_ref().map(|side| side.get(key).copied());
        let Some(says) = Pair::changed(said.before, said.after) else { continue };
        let (compound, constituent, code) = key;
        let allergen: Allergen = code.parse().expect("a code of the model is one");
        let constituent = (*constituent).clone();
        let what = What::Understated { constituent, allergen, says };
        changes.push(Change { place: (*compound).into(), what });
    }
}

/// A compound ingredient, a constituent and an allergen that it contains.
type Key<'a> = (&'a IngredientId, &'a IngredientId, &'static str);

/// What compound ingredients say of allergens that a constituent contains, where that is less.
fn understated<'a>(side: &Side<'a>) -> BTreeMap<Key<'a>, AllergenState> {
    let ingredients = &side.edition.ingredients;
    let compounds = ingredients.values().filter(|one| !one.made_of.is_empty());
    compounds.flat_map(|compound| of_compound(compound, ingredients)).collect()
}

fn of_compound<'a>(
    compound: &'a Ingredient,
    ingredients: &BTreeMap<&'a IngredientId, &'a Ingredient>,
) -> Vec<(Key<'a>, AllergenState)> {
    let says = States::of_ingredient(compound);
    let parts = compound.made_of.iter().filter_map(|part| ingredients.get(&part.ingredient));
    let of_part = |part: &&'a Ingredient| {
        let part: &'a Ingredient = part;
        let contained = States::of_ingredient(part);
        let all = contained.all().filter(|(_, state)| *state == AllergenState::Contains);
        let less = all.map(|(code, _)| ((&compound.id, &part.id, code.code()), says.of(&code)));
        less.filter(|(_, says)| *says < AllergenState::Unknown).collect::<Vec<_>>()
    };
    parts.flat_map(of_part).collect()
}
