//! Why a departure doesn't fit a new standard.

use std::fmt;

use chablon_model::{RecipeId, StepId, Uses};

/// Why a departure doesn't fit a new standard. Shown as a sentence without a full stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Conflict {
    /// The recipe is gone.
    RecipeGone {
        /// The recipe.
        recipe: RecipeId,
    },
    /// The line is gone.
    LineGone {
        /// What it took.
        uses: Uses,
    },
    /// The line takes something else.
    LineReplaced {
        /// What it took.
        uses: Uses,
        /// What it takes.
        by: Uses,
    },
    /// The line became several, or one with others.
    LineDivided {
        /// What it takes.
        uses: Uses,
    },
    /// The line takes another amount.
    AmountChanged {
        /// What it takes.
        uses: Uses,
    },
    /// The line scales otherwise, or counts otherwise in the 100 % of shares.
    LineChanged {
        /// What it takes.
        uses: Uses,
    },
    /// The step is gone.
    StepGone {
        /// The step.
        step: StepId,
    },
    /// The step says something else.
    WordingChanged {
        /// The step.
        step: StepId,
    },
    /// The control is gone.
    ControlGone {
        /// The step.
        step: StepId,
    },
    /// The control is another.
    ControlChanged {
        /// The step.
        step: StepId,
    },
}

impl fmt::Display for Conflict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::RecipeGone { recipe } => write!(f, "there is no standard of `{recipe}` any more"),
            Self::LineGone { uses } => write!(f, "the line of `{}` is gone", uses.id()),
            Self::LineReplaced { uses, by } => {
                write!(f, "the line of `{}` takes `{}` now", uses.id(), by.id())
            }
            Self::LineDivided { uses } => {
                write!(f, "the line of `{}` was divided or put together", uses.id())
            }
            Self::AmountChanged { uses } => {
                write!(f, "the line of `{}` takes another amount now", uses.id())
            }
            Self::LineChanged { uses } => {
                write!(f, "the line of `{}` follows the batch otherwise now", uses.id())
            }
            Self::StepGone { step } => write!(f, "step `{step}` is gone"),
            Self::WordingChanged { step } => write!(f, "step `{step}` says something else now"),
            Self::ControlGone { step } => write!(f, "a control at `{step}` is gone"),
            Self::ControlChanged { step } => write!(f, "a control at `{step}` is another now"),
        }
    }
}
