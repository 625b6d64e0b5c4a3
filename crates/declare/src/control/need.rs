//! Whether a recipe needs temperature control.

use std::fmt;

use chablon_arith::RecipeIndex;
use chablon_model::{Allergen, AllergenState, Nutrient};
use chablon_quantity::Exact;

use super::ControlPlan;
use crate::Declarer;
use crate::balance::WaterActivityEstimate;
use crate::number::ratio;

/// Whether temperature control is needed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Need {
    /// It is taken to be, for this reason.
    Needed(&'static str),
    /// It isn't, for this reason.
    NotNeeded(Uncontrolled),
}

/// Why a recipe needs no temperature control.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Uncontrolled {
    /// The group's own plan says so, for this reason.
    Exempt(String),
    /// There is no egg and no milk in it.
    NoEggNoMilk,
    /// It is dry.
    Dry,
}

impl fmt::Display for Uncontrolled {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Exempt(reason) => write!(f, "the group's plan: {reason}"),
            Self::NoEggNoMilk => f.write_str("no egg and no milk in it"),
            Self::Dry => f.write_str("dry"),
        }
    }
}

/// Below this much water in 100 g a piece is taken to be dry (common practice, no source).
const DRY: i64 = 10;

impl Declarer<'_> {
    /// A recipe with egg or milk in it, or of which that isn't known, is taken to need control
    /// unless it is dry, or its estimated water activity is below 0.85 with all that it may be off
    /// (Worobo and Padilla-Zakour: 0.85 and pH 4.6 as limits of hazard; pH isn't known here).
    pub(super) fn need(&self, index: RecipeIndex, plan: &ControlPlan) -> Need {
        let recipe = &self.book.recipe(index).id;
        if let Some(reason) = plan.exemption(recipe) {
            return Need::NotNeeded(Uncontrolled::Exempt(reason.to_owned()));
        }
        let states = self.states(recipe).expect("the recipe is in the book");
        let state = |code: &str| states.of(&code.parse::<Allergen>().expect("a code of the model"));
        let worst = state("egg").max(state("milk"));
        if worst < AllergenState::Unknown {
            return Need::NotNeeded(Uncontrolled::NoEggNoMilk);
        }
        if self.is_dry(index) {
            return Need::NotNeeded(Uncontrolled::Dry);
        }
        match worst {
            AllergenState::Contains => Need::Needed("egg or milk in it, and not dry"),
            _ => Need::Needed("egg or milk may be in it, which isn't known, and it isn't dry"),
        }
    }

    fn is_dry(&self, index: RecipeIndex) -> bool {
        let recipe = &self.book.recipe(index).id;
        let Ok(content) = self.content(recipe) else { return false };
        let water = content.amount(Nutrient::Water);
        if water.is_complete() && water.grams < Exact::from(DRY) {
            return true;
        }
        let balance = self.balance(recipe);
        match balance.map(|balance| balance.water_activity) {
            Ok(WaterActivityEstimate::Estimated(estimate)) => {
                estimate.highest + estimate.plus_minus < ratio(85, 100)
            }
            _ => false,
        }
    }
}
