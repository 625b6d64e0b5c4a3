//! What hands-on time costs, apart from the food.

use chablon_model::{Labour, RecipeId};
use chablon_quantity::Exact;

use crate::PlannedRecipe;
use crate::compiled::CompiledRecipe;

/// The hands-on time of one recipe of a plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LabourCost {
    /// The recipe.
    pub recipe: RecipeId,
    /// Seconds in which hands are busy, over all batches.
    pub seconds: Exact,
    /// What they cost, where the site has a rate.
    pub cost: Option<Exact>,
}

/// Seconds of hands-on time: by the batch, by the piece, or in proportion to what is made.
pub(super) fn seconds(recipe: &CompiledRecipe, planned: &PlannedRecipe) -> Exact {
    let none = Exact::from(0);
    let times = |labour| match labour {
        Labour::PerBatch => &planned.batches,
        Labour::PerPiece => planned.pieces.as_ref().unwrap_or(&none),
        Labour::WithMass => &planned.factor,
    };
    recipe.steps.iter().map(|step| &step.active * times(step.labour)).sum()
}

/// The cost of so many seconds at an hourly rate.
pub(super) fn cost(seconds: &Exact, hour: &Exact) -> Exact {
    seconds * hour / Exact::from(3600)
}
