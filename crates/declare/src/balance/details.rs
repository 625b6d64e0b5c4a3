//! What ingredients state more closely than content: which sugars, whose fat, how much cocoa.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{Detail, Ingredient, IngredientId, Nutrient};
use chablon_quantity::{Exact, Grams};

use super::Solute;
use crate::Declarer;
use crate::content::{Composition, Rolled};

/// What is of the bean or of milk. Where one is stated, the others that aren't are none.
const ORIGINS: [Detail; 3] = [Detail::MilkFat, Detail::CocoaButter, Detail::DryCocoa];

/// Grams that an ingredient states of a detail in 100 g.
fn stated(ingredient: &Ingredient, detail: Detail) -> Option<Exact> {
    ingredient.details.0.get(&detail).map(|mass| mass.quantity().grams())
}

/// Grams of milk fat, cocoa butter or dry cocoa in 100 g of an ingredient, where it is known.
pub(super) fn origin(ingredient: &Ingredient, detail: Detail) -> Option<Exact> {
    let any = ORIGINS.iter().any(|one| ingredient.details.0.contains_key(one));
    stated(ingredient, detail).or_else(|| any.then(|| Exact::from(0)))
}

/// What 100 g of a finished recipe hold in solution.
pub(crate) struct Dissolved {
    /// Grams by kind, where it is known.
    pub(super) known: BTreeMap<Solute, Exact>,
    /// Grams of sugars whose kind isn't known.
    pub(super) unknown_sugars: Exact,
    /// The ingredients that don't say which sugars theirs are, or not of all.
    pub(super) unknown_in: BTreeSet<IngredientId>,
    /// The ingredients that don't state their sugars, salt or water at all.
    pub(super) missing: BTreeSet<IngredientId>,
    /// Grams of sugar alcohols whose kind isn't known.
    pub(super) unknown_polyols: Exact,
}

impl Dissolved {
    pub(crate) fn of(declarer: &Declarer<'_>, rolled: &Rolled, content: &Composition) -> Self {
        let needed = [Nutrient::Water, Nutrient::Sugars, Nutrient::Salt];
        let missing = needed.iter().flat_map(|one| content.amount(*one).missing.iter().cloned());
        let mut dissolved = Self {
            known: BTreeMap::new(),
            unknown_sugars: Exact::from(0),
            unknown_in: BTreeSet::new(),
            missing: missing.collect(),
            unknown_polyols: Exact::from(0),
        };
        for (index, used) in &rolled.used {
            dissolved.add(declarer.ingredients[index.0], &(used / Exact::from(100)));
        }
        dissolved
    }

    /// Adds a part of 100 g of an ingredient.
    fn add(&mut self, ingredient: &Ingredient, part: &Exact) {
        for detail in Detail::ALL {
            let solute = Solute::of(*detail).zip(stated(ingredient, *detail));
            if let Some((solute, grams)) = solute {
                let sum = self.known.entry(solute).or_insert_with(|| Exact::from(0));
                *sum = &*sum + part * grams;
            }
        }
        let sugars = part * rest(ingredient, Nutrient::Sugars);
        if sugars.is_positive() {
            self.unknown_in.insert(ingredient.id.clone());
        }
        self.unknown_sugars = &self.unknown_sugars + sugars;
        let polyols = part * rest(ingredient, Nutrient::Polyols);
        self.unknown_polyols = &self.unknown_polyols + polyols;
    }
}

/// Grams of sugars or polyols in 100 g of an ingredient that its stated kinds leave.
fn rest(ingredient: &Ingredient, whole: Nutrient) -> Exact {
    let all = ingredient.content.0.get(&whole).map(|mass| mass.quantity().grams());
    let parts = Detail::ALL.iter().filter(|detail| detail.part_of() == Some(whole));
    let known: Exact = parts.filter_map(|detail| stated(ingredient, *detail)).sum();
    (all.unwrap_or_else(|| Exact::from(0)) - known).max(Exact::from(0))
}
