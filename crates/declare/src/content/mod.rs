//! Content per 100 g finished and per piece.
//!
//! - Only water leaves with a loss of water; a whole loss and a residue change no content.
//! - What an ingredient doesn't state makes a figure a lower bound that names it. Only what weighs
//!   something can be missing; what is to taste is named apart.
//! - A lower bound of water is never below 0. Only where every part states its water can more be
//!   found to have been boiled off than was there, which is refused with the stage.

mod compare;
mod energy;
mod fault;
mod roll_up;

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{IngredientId, Nutrient, Uses};
use chablon_quantity::Exact;

pub use compare::{Difference, Verdict, compare};
pub use energy::{EU_FACTORS, Energy, Factor, Part, US_FACTORS, energy};
pub use fault::{ContentFault, Shortage};

pub(crate) use compare::of_compound;
pub(crate) use roll_up::{Rolled, roll_up};

/// The nutrients that add up to the whole, with ash and the rest: the others are parts of these.
pub const WHOLE: [Nutrient; 7] = [
    Nutrient::Water,
    Nutrient::Fat,
    Nutrient::Carbohydrate,
    Nutrient::Fibre,
    Nutrient::Protein,
    Nutrient::Salt,
    Nutrient::Alcohol,
];

/// A figure of content.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Amount {
    /// Grams; a lower bound where something is missing.
    pub grams: Exact,
    /// The ingredients that don't state it.
    pub missing: BTreeSet<IngredientId>,
}

impl Amount {
    /// Whether every part states it.
    pub fn is_complete(&self) -> bool {
        self.missing.is_empty()
    }

    fn times(&self, factor: &Exact) -> Self {
        Self { grams: &self.grams * factor, missing: self.missing.clone() }
    }
}

/// What so much of a finished recipe holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Composition {
    /// Grams of the finished recipe that the figures are of.
    pub of_grams: Exact,
    /// A figure for every nutrient.
    pub amounts: BTreeMap<Nutrient, Amount>,
    /// What the cook adds to taste, unweighed and so not counted.
    pub to_taste: BTreeSet<Uses>,
}

impl Composition {
    /// The figure of a nutrient.
    pub fn amount(&self, nutrient: Nutrient) -> &Amount {
        self.amounts.get(&nutrient).expect("every nutrient has a figure")
    }

    /// Whether every part states everything, and nothing is to taste.
    pub fn is_complete(&self) -> bool {
        self.to_taste.is_empty() && self.amounts.values().all(Amount::is_complete)
    }

    /// The same of another mass, such as a piece or a serving.
    #[must_use]
    pub fn of_mass(&self, grams: &Exact) -> Self {
        let factor = grams.checked_div(&self.of_grams).unwrap_or_else(|| Exact::from(0));
        let scaled =
            self.amounts.iter().map(|(nutrient, amount)| (*nutrient, amount.times(&factor)));
        Self { of_grams: grams.clone(), amounts: scaled.collect(), to_taste: self.to_taste.clone() }
    }

    /// Ash and the rest: what no nutrient accounts for. Below 0 where the declared figures of the
    /// ingredients come to more than there is; nothing where one of them is missing.
    pub fn ash_and_rest(&self) -> Option<Exact> {
        let amounts: Vec<&Amount> = WHOLE.iter().map(|one| self.amount(*one)).collect();
        let complete = amounts.iter().all(|amount| amount.is_complete());
        let sum: Exact = amounts.into_iter().map(|amount| &amount.grams).sum();
        complete.then(|| &self.of_grams - sum)
    }
}
