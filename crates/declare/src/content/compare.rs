//! Declared content beside what is computed.

use chablon_model::{Content, Nutrient};
use chablon_quantity::{Authored, Exact, Grams, MassUnit};

use super::{Amount, Composition};
use crate::label::tolerance;

/// A nutrient as it is declared and as it is computed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// The nutrient.
    pub nutrient: Nutrient,
    /// Grams per 100 g as declared.
    pub declared: Exact,
    /// Grams per 100 g as computed.
    pub computed: Amount,
    /// Declared less computed.
    pub difference: Exact,
    /// Whether the computed figure lies within the European tolerance of the declared one, where
    /// there is one and the figure is complete.
    pub within_tolerance: Option<bool>,
}

/// Holds a declaration, such as an analysis, to what is computed.
pub fn compare(declared: &Content, computed: &Composition) -> Vec<Difference> {
    let computed = computed.of_mass(&Exact::from(100));
    let difference = |(nutrient, mass): (&Nutrient, &Authored<MassUnit>)| {
        let declared = mass.quantity().grams();
        let computed = computed.amount(*nutrient).clone();
        let range = tolerance::of(*nutrient).map(|bands| tolerance::range(bands, &declared));
        let within = range.map(|(low, high)| computed.grams >= low && computed.grams <= high);
        Difference {
            nutrient: *nutrient,
            difference: &declared - &computed.grams,
            within_tolerance: within.filter(|_| computed.is_complete()),
            declared,
            computed,
        }
    };
    declared.0.iter().map(difference).collect()
}
