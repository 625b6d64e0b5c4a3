//! Why a deviation can't lie over a recipe.

use chablon_model::{Measure, RecipeId, StepId, Uses};
use chablon_quantity::Number;

/// Why a deviation can't lie over a recipe.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum CannotApply {
    /// It departs from nothing.
    #[error("it names nothing that is made otherwise; name a line or a step")]
    Empty,
    /// It ends before it starts.
    #[error("it falls away before it holds; give it an end after its start")]
    NoTime,
    /// It is of another recipe.
    #[error("it departs from `{wanted}`, not from `{found}`")]
    OtherRecipe {
        /// The recipe that it is of.
        wanted: RecipeId,
        /// The recipe that came.
        found: RecipeId,
    },
    /// There is no such recipe.
    #[error("there is no recipe `{recipe}` to depart from")]
    NoRecipe {
        /// The recipe that it is of.
        recipe: RecipeId,
    },
    /// A line takes something else, or isn't there.
    #[error("line {number} doesn't take `{}`; correct the number of the line", uses.id())]
    OtherLine {
        /// The line's number.
        number: u32,
        /// What it should take.
        uses: Uses,
    },
    /// Two departures are of one line.
    #[error("line {number} departs twice; say once what it takes")]
    LineTwice {
        /// The line's number.
        number: u32,
    },
    /// An amount can't be multiplied.
    #[error("line {number} can't take {times} times what it says; give its amount")]
    NotMultiplied {
        /// The line's number.
        number: u32,
        /// The factor.
        times: Number,
    },
    /// An amount is below 0.
    #[error("line {number} can't take less than nothing; give an amount of 0 or more")]
    Negative {
        /// The line's number.
        number: u32,
    },
    /// There is no such step.
    #[error("there is no step `{step}`; correct its name")]
    NoStep {
        /// The step's id.
        step: StepId,
    },
    /// There is no such control.
    #[error("step `{step}` has no control {number}; correct its number")]
    NoControl {
        /// The step's id.
        step: StepId,
        /// The control's number.
        number: u32,
    },
    /// The control watches something else.
    #[error("control {number} of step `{step}` watches {}; it can't watch {} instead", found.as_str(), wanted.as_str())]
    OtherMeasure {
        /// The step's id.
        step: StepId,
        /// The control's number.
        number: u32,
        /// What it watches.
        found: Measure,
        /// What it is to watch.
        wanted: Measure,
    },
    /// Two departures are of one step's text or one control.
    #[error("step `{step}` departs twice in one place; say once what is done")]
    StepTwice {
        /// The step's id.
        step: StepId,
    },
}
