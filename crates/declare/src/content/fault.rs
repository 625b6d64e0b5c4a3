//! Why content can't be.

use std::fmt;

use chablon_model::RecipeId;
use chablon_quantity::Exact;

/// Why a recipe's content can't be reckoned.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ContentFault {
    /// More water leaves at a stage than is there.
    WaterBelowZero {
        /// The recipe whose loss it is.
        recipe: RecipeId,
        /// Where, and how much.
        shortage: Box<Shortage>,
    },
    /// A figure has grown beyond what can be written out.
    NumberTooLarge {
        /// The recipe.
        recipe: RecipeId,
    },
}

/// A stage that takes more water than is there.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shortage {
    /// The stage as it is named, if it is.
    pub stage: Option<String>,
    /// Its place among the recipe's losses, from 1.
    pub loss: usize,
    /// Grams of water in 100 g before the stage.
    pub there: Exact,
    /// Grams that the stage takes from 100 g.
    pub taken: Exact,
}

impl ContentFault {
    /// A short name that stays the same when the wording changes.
    pub fn code(&self) -> &'static str {
        match self {
            Self::WaterBelowZero { .. } => "water-below-zero",
            Self::NumberTooLarge { .. } => "number-too-large",
        }
    }

    /// The recipe at fault, which may be a component of the one that was asked for.
    pub fn recipe(&self) -> &RecipeId {
        match self {
            Self::WaterBelowZero { recipe, .. } | Self::NumberTooLarge { recipe } => recipe,
        }
    }

    /// What would mend it.
    pub fn hint(&self) -> &'static str {
        match self {
            Self::WaterBelowZero { .. } => {
                "lower the loss, count it as `whole` where the mix itself is lost, or correct the \
                 water that the ingredients state"
            }
            Self::NumberTooLarge { .. } => "use rounder amounts, or nest the recipes less deeply",
        }
    }
}

impl fmt::Display for ContentFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::WaterBelowZero { recipe, shortage } => {
                let Shortage { stage, loss, there, taken } = shortage.as_ref();
                match stage {
                    Some(stage) => write!(f, "stage `{stage}` of `{recipe}`")?,
                    None => write!(f, "loss {loss} of `{recipe}`")?,
                }
                let (taken, there) = (taken.round(3), there.round(3));
                write!(f, " takes {taken} g of water from 100 g, but only {there} g are there")
            }
            Self::NumberTooLarge { recipe } => {
                write!(f, "a figure of `{recipe}` has grown too long to compute with")
            }
        }
    }
}

impl std::error::Error for ContentFault {}
