//! What is asked for.

use chablon_model::{IngredientId, RecipeId};
use chablon_quantity::{Exact, Pieces};

/// How much of a recipe is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Target {
    /// So many pieces.
    Pieces(Exact),
    /// A net mass in grams.
    NetMass(Exact),
    /// So many times the written yield, in as few batches as the bowls allow.
    Factor(Exact),
    /// So many batches as written.
    WrittenBatches(Exact),
    /// All that a purchased mass of one ingredient makes.
    OnHand {
        /// What is on hand.
        ingredient: IngredientId,
        /// Grams of it, as purchased.
        mass: Exact,
    },
}

impl Target {
    /// So many pieces.
    pub fn pieces(count: impl Into<Exact>) -> Self {
        Self::Pieces(count.into())
    }

    /// A net mass in grams.
    pub fn grams(mass: impl Into<Exact>) -> Self {
        Self::NetMass(mass.into())
    }

    /// The number that the target states.
    pub fn amount(&self) -> &Exact {
        match self {
            Self::Pieces(amount)
            | Self::NetMass(amount)
            | Self::Factor(amount)
            | Self::WrittenBatches(amount)
            | Self::OnHand { mass: amount, .. } => amount,
        }
    }
}

impl From<Pieces> for Target {
    fn from(pieces: Pieces) -> Self {
        Self::Pieces(pieces.0)
    }
}

/// One product that a plan is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Demand {
    /// The product.
    pub recipe: RecipeId,
    /// How much of it.
    pub target: Target,
}

impl Demand {
    /// So much of a recipe.
    pub fn new(recipe: RecipeId, target: Target) -> Self {
        Self { recipe, target }
    }
}
