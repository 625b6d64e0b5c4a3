//! What is known of ingredients beyond what a book states.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{IngredientId, Nutrient};
use chablon_quantity::{Exact, Grams};

use super::Solute;
use crate::Declarer;
use crate::content::{Composition, Rolled};

/// What 100 g of an ingredient's edible part hold, beyond what a book states. All of it is stated:
/// what isn't named is none.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Details {
    /// Grams of each sugar and sugar alcohol.
    pub solutes: BTreeMap<Solute, Exact>,
    /// Grams of milk fat.
    pub milk_fat: Exact,
    /// Grams of cocoa butter, that in cocoa mass and chocolate too.
    pub cocoa_butter: Exact,
    /// Grams of all that comes from the cocoa bean, dry: its butter too.
    pub dry_cocoa: Exact,
}

/// Details by ingredient.
pub type DetailTable = BTreeMap<IngredientId, Details>;

/// What 100 g of a finished recipe hold in solution.
pub(crate) struct Dissolved {
    /// Grams by kind, where it is known.
    pub(super) known: BTreeMap<Solute, Exact>,
    /// Grams of sugars whose kind isn't known.
    pub(super) unknown_sugars: Exact,
    /// The ingredients that don't say which sugars theirs are.
    pub(super) unknown_in: BTreeSet<IngredientId>,
    /// The ingredients that don't state their sugars, salt or water at all.
    pub(super) missing: BTreeSet<IngredientId>,
    /// Grams of sugar alcohols whose kind isn't known.
    pub(super) unknown_polyols: Exact,
}

impl Dissolved {
    pub(crate) fn of(
        declarer: &Declarer<'_>,
        rolled: &Rolled,
        content: &Composition,
        table: &DetailTable,
    ) -> Self {
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
            let ingredient = declarer.ingredients[index.0];
            let part = used / Exact::from(100);
            let stated = |nutrient| {
                let mass = ingredient.content.0.get(&nutrient).map(|mass| mass.quantity().grams());
                &part * mass.unwrap_or_else(|| Exact::from(0))
            };
            if let Some(details) = table.get(&ingredient.id) {
                dissolved.add(details, &part);
                continue;
            }
            let sugars = stated(Nutrient::Sugars);
            if sugars.is_positive() {
                dissolved.unknown_in.insert(ingredient.id.clone());
            }
            dissolved.unknown_sugars = &dissolved.unknown_sugars + sugars;
            dissolved.unknown_polyols = &dissolved.unknown_polyols + stated(Nutrient::Polyols);
        }
        dissolved
    }

    fn add(&mut self, details: &Details, part: &Exact) {
        for (solute, grams) in &details.solutes {
            let sum = self.known.entry(*solute).or_insert_with(|| Exact::from(0));
            *sum = &*sum + part * grams;
        }
    }
}
