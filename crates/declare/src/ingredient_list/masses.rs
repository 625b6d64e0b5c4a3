//! Masses for the order of a list: at the mixing bowl, added water by what is left.

use std::collections::BTreeMap;

use chablon_arith::IngredientIndex;
use chablon_model::{Ingredient, Nutrient};
use chablon_quantity::{Exact, Grams};

use crate::Declarer;
use crate::content::Rolled;
use crate::number::ratio;

/// Grams of each ingredient for 100 g finished.
pub(super) struct Masses {
    pub(super) grams: BTreeMap<IngredientIndex, Exact>,
    pub(super) water_left_out: Option<Exact>,
}

/// Up to this many grams in 100 g, added water needn't be listed.
const NOT_LISTED_UP_TO: i64 = 5;

/// Whether an ingredient is water and next to nothing else. Tap water states 99.9 g, brewed coffee
/// 99.4 g (USDA SR28, 14429 and 14209).
fn is_added_water(ingredient: &Ingredient) -> bool {
    let water = ingredient.content.0.get(&Nutrient::Water);
    water.is_some_and(|water| water.quantity().grams() >= ratio(995, 10))
}

pub(super) fn finished(declarer: &Declarer<'_>, rolled: &Rolled) -> Masses {
    let is_water = |one: &IngredientIndex| is_added_water(declarer.ingredients[one.0]);
    let (waters, mut grams): (BTreeMap<_, _>, BTreeMap<_, _>) =
        rolled.used.clone().into_iter().partition(|(one, _)| is_water(one));
    let others: Exact = grams.values().sum();
    let left = (Exact::from(100) - others).max(Exact::from(0));
    let added: Exact = waters.values().sum();
    if left <= Exact::from(NOT_LISTED_UP_TO) {
        let water_left_out = Some(left).filter(|left| left.is_positive() && added.is_positive());
        return Masses { grams, water_left_out };
    }
    // Several waters share what is left as they shared what was added.
    let shared = waters.into_iter().filter_map(|(one, used)| {
        let grams = (&left * used).checked_div(&added)?;
        grams.is_positive().then_some((one, grams))
    });
    grams.extend(shared);
    Masses { grams, water_left_out: None }
}
