//! The balance of a formula: its parts, shares and ratios, sweetness and water activity.
//!
//! An ingredient may state which sugars and whose fat its content is ([`Details`]); without that
//! it is not known, or is given as a range over everything that it could be.
//!
//! [`Details`]: chablon_model::Details

mod details;
mod solute;
mod sweetness;
mod water_activity;

use std::collections::BTreeSet;

use chablon_arith::IngredientIndex;
use chablon_model::{Allergen, AllergenState, Detail, IngredientId, Nutrient, RecipeId};
use chablon_quantity::{Exact, Grams};

use crate::content::{Amount, Composition, Rolled};
use crate::{DeclareError, Declarer, caution};

pub use solute::Solute;
pub use sweetness::Sweetness;
pub use water_activity::{
    NotEstimated, WaterActivity, WaterActivityEstimate, norrish, ross, sodium_chloride,
};

pub(crate) use details::Dissolved;

/// The balance of 100 g of a finished recipe.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Balance {
    /// Grams of what a formula is made of.
    pub parts: Vec<BalancePart>,
    /// Shares and ratios.
    pub ratios: Vec<Ratio>,
    /// Sweetness against sucrose.
    pub sweetness: Sweetness,
    /// Water activity.
    pub water_activity: WaterActivityEstimate,
    /// What every balance says of itself.
    pub cautions: Vec<&'static str>,
}

/// One part of a formula.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BalancePart {
    /// A key that doesn't change.
    pub key: &'static str,
    /// What it is.
    pub name: &'static str,
    /// How much of it; what doesn't say how much is named.
    pub amount: Amount,
}

/// A share or ratio that a pastry chef reads.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ratio {
    /// A key that doesn't change.
    pub key: &'static str,
    /// What it is.
    pub name: &'static str,
    /// Its value as a part of 1; nothing where it rests on something missing, or on nothing.
    pub value: Option<Exact>,
}

impl Declarer<'_> {
    /// The balance of a recipe.
    pub fn balance(&self, recipe: &RecipeId) -> Result<Balance, DeclareError> {
        let rolled = self.rolled(self.index(recipe)?)?;
        let content = rolled.composition(&self.book);
        let parts = self.parts(rolled, &content);
        let dissolved = Dissolved::of(self, rolled, &content);
        Ok(Balance {
            ratios: ratios(&parts),
            sweetness: sweetness::of(&dissolved),
            water_activity: water_activity::estimate(&content, &dissolved),
            parts,
            cautions: vec![caution::DECLARED, caution::SHELF_LIFE],
        })
    }

    fn parts(&self, rolled: &Rolled, content: &Composition) -> Vec<BalancePart> {
        let stated = |nutrient| content.amount(nutrient).clone();
        let detail = |detail: Detail, none: &dyn Fn(IngredientIndex) -> bool| {
            self.detailed(rolled, detail, none)
        };
        let no_fat = |index| self.holds_none(index, Nutrient::Fat);
        let no_milk_fat = |index| no_fat(index) || self.is_free_of_milk(index);
        // All that comes from the bean is fat, fibre and protein to the greater part.
        let no_cocoa = |index| {
            [Nutrient::Fat, Nutrient::Fibre, Nutrient::Protein]
                .iter()
                .all(|one| self.holds_none(index, *one))
        };
        let part = |key, name, amount| BalancePart { key, name, amount };
        vec![
            part("water", "water", stated(Nutrient::Water)),
            part("fat", "fat", stated(Nutrient::Fat)),
            part("sugars", "sugars", stated(Nutrient::Sugars)),
            part("alcohol", "alcohol", stated(Nutrient::Alcohol)),
            part("other_solids", "other solids", other_solids(content)),
            part("milk_fat", "of the fat, milk fat", detail(Detail::MilkFat, &no_milk_fat)),
            part("cocoa_butter", "of the fat, cocoa butter", detail(Detail::CocoaButter, &no_fat)),
            part("dry_cocoa", "dry cocoa solids", detail(Detail::DryCocoa, &no_cocoa)),
        ]
    }

    /// Whether an ingredient states that it holds none of a nutrient.
    fn holds_none(&self, index: IngredientIndex, of: Nutrient) -> bool {
        let stated = self.ingredients[index.0].content.0.get(&of);
        stated.is_some_and(|mass| mass.quantity().grams() == Exact::from(0))
    }

    fn is_free_of_milk(&self, index: IngredientIndex) -> bool {
        let milk: Allergen = "milk".parse().expect("a code of the model");
        self.ingredient_states[index.0].of(&milk) == AllergenState::Free
    }

    /// A figure that only details give, but for ingredients that can't hold it.
    fn detailed(
        &self,
        rolled: &Rolled,
        detail: Detail,
        none: &dyn Fn(IngredientIndex) -> bool,
    ) -> Amount {
        let mut amount = Amount { grams: Exact::from(0), missing: BTreeSet::new() };
        for (index, used) in rolled.used.iter().filter(|(_, used)| used.is_positive()) {
            match details::origin(self.ingredients[index.0], detail) {
                Some(grams) => amount.grams = amount.grams + used * grams / Exact::from(100),
                None if none(*index) => {}
                None => {
                    amount.missing.insert(self.book.ingredient(*index).id.clone());
                }
            }
        }
        amount
    }
}

/// What is neither water, fat, sugar nor alcohol. With anything missing of these it could be less,
/// so it names them all.
fn other_solids(content: &Composition) -> Amount {
    let others = [Nutrient::Water, Nutrient::Fat, Nutrient::Sugars, Nutrient::Alcohol];
    let amounts = others.map(|nutrient| content.amount(nutrient));
    let sum: Exact = amounts.iter().map(|amount| &amount.grams).sum();
    let missing = amounts.iter().flat_map(|amount| amount.missing.iter().cloned());
    let missing: BTreeSet<IngredientId> = missing.collect();
    Amount { grams: Exact::from(100) - sum, missing }
}

fn ratios(parts: &[BalancePart]) -> Vec<Ratio> {
    let of = |key: &str| {
        let part = parts.iter().find(|part| part.key == key && part.amount.is_complete());
        part.map(|part| part.amount.grams.clone())
    };
    let sum = |keys: &[&str]| keys.iter().map(|key| of(key)).sum::<Option<Exact>>();
    let ratio = |key, name, top: &[&str], bottom: &[&str]| {
        let value = sum(top).zip(sum(bottom)).and_then(|(top, bottom)| top.checked_div(&bottom));
        Ratio { key, name, value }
    };
    let solids = ["fat", "sugars", "other_solids"];
    let all = ["water", "alcohol", "fat", "sugars", "other_solids"];
    vec![
        ratio("solids", "solids of the whole", &solids, &all),
        ratio("fat_in_solids", "fat of the solids", &["fat"], &solids),
        ratio("sugars_in_solids", "sugars of the solids", &["sugars"], &solids),
        ratio("sugars_in_syrup", "sugars of sugars and water", &["sugars"], &["sugars", "water"]),
        ratio("fat_to_water", "fat to water", &["fat"], &["water"]),
        ratio(
            "alcohol_in_liquid",
            "alcohol of alcohol and water",
            &["alcohol"],
            &["alcohol", "water"],
        ),
    ]
}
