//! What is wrong with a book, in words that a chef can act on.

use std::fmt;

use chablon_model::{IngredientId, RecipeId, StepId, Uses};
use chablon_quantity::Exact;

use crate::geometry::GeometryError;

/// Where a problem is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// A part of an ingredient.
    Ingredient(IngredientId, IngredientPart),
    /// A part of a recipe.
    Recipe(RecipeId, RecipePart),
}

/// A part of an ingredient.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum IngredientPart {
    /// Its density.
    Density,
    /// Its piece mass.
    PieceMass,
    /// Its edible yield.
    EdibleYield,
}

/// A part of a recipe. Indices count from 0 in the written order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RecipePart {
    /// All of it.
    Whole,
    /// Its density.
    Density,
    /// Its yield.
    Yield,
    /// The bounds of a batch.
    Batch,
    /// A line.
    Line(usize),
    /// A loss.
    Loss(usize),
    /// A step.
    Step(usize),
}

/// How much a problem weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Worth a look; the figures stand.
    Warning,
    /// The recipe can't be computed.
    Error,
}

/// A problem and its place. Shown as a sentence without the place, and without a full stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Where it is.
    pub place: Place,
    /// What it is.
    pub fault: Fault,
}

/// What is wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fault {
    /// A line names an ingredient that isn't there.
    UnknownIngredient {
        /// The id as named.
        ingredient: IngredientId,
    },
    /// A line names a component that isn't there.
    UnknownComponent {
        /// The id as named.
        component: RecipeId,
    },
    /// Recipes use each other in a loop.
    Cycle {
        /// The loop in order; the first recipe stands at the end again.
        path: Vec<RecipeId>,
    },
    /// A component can't be computed.
    ComponentRefused {
        /// From the component to the recipe at fault; the middle of a long way is left out.
        path: Vec<RecipeId>,
        /// How many are left out before the last.
        left_out: usize,
    },
    /// A line takes an ingredient whose own figures are refused.
    IngredientRefused {
        /// The ingredient.
        ingredient: IngredientId,
    },
    /// A line by volume takes something of unknown density.
    MissingDensity {
        /// What it takes.
        uses: Uses,
    },
    /// Pieces of a thickness are cut from something of unknown density.
    ThicknessWithoutDensity,
    /// A shape, a mould or a sheet can't be.
    Shape(GeometryError),
    /// A line by pieces takes an ingredient of unknown piece mass.
    MissingPieceMass {
        /// The ingredient.
        ingredient: IngredientId,
    },
    /// A line by pieces takes a component that doesn't yield pieces.
    NoPieces {
        /// The component.
        component: RecipeId,
    },
    /// A share has nothing to be a share of.
    ShareWithoutBase,
    /// A base line is itself a share.
    ShareAsBase,
    /// Something is below 0 that can't be.
    Negative {
        /// What it is.
        what: &'static str,
        /// Its value in base units.
        value: Exact,
    },
    /// Something must be above 0.
    NotPositive {
        /// What it is.
        what: &'static str,
        /// Its value in base units.
        value: Exact,
    },
    /// A loss takes less than nothing, or everything.
    LossOutOfRange {
        /// The part that it takes.
        fraction: Exact,
    },
    /// The least batch is larger than the largest.
    BatchBounds {
        /// Grams.
        min: Exact,
        /// Grams.
        max: Exact,
    },
    /// The lines weigh nothing.
    NoMass,
    /// Every line that weighs something is fixed per batch.
    NothingScales,
    /// Losses and residue leave nothing.
    NothingLeft {
        /// Grams that would be left.
        net: Exact,
    },
    /// The declared yield and the stated losses disagree.
    UnexplainedLoss {
        /// The loss beyond the stated ones, as a part; below 0 where more comes out than can.
        share: Exact,
        /// Whether it is too much to go on.
        refused: bool,
    },
    /// Hands-on time by the piece where no pieces are made.
    LabourNeedsPieces {
        /// The step.
        step: StepId,
    },
    /// A figure has grown beyond what can be written out.
    NumberTooLarge,
}

impl Problem {
    /// The recipe it is in, if it is in one.
    pub fn recipe(&self) -> Option<&RecipeId> {
        match &self.place {
            Place::Recipe(id, _) => Some(id),
            Place::Ingredient(..) => None,
        }
    }

    /// The line it is at, from 0 in the written order.
    pub fn line(&self) -> Option<usize> {
        match self.place {
            Place::Recipe(_, RecipePart::Line(index)) => Some(index),
            _ => None,
        }
    }

    /// A short name that stays the same when the wording changes.
    pub fn code(&self) -> &'static str {
        self.fault.code()
    }

    /// How much it weighs.
    pub fn severity(&self) -> Severity {
        match self.fault {
            Fault::UnexplainedLoss { refused: false, .. } => Severity::Warning,
            _ => Severity::Error,
        }
    }

    /// What would mend it.
    pub fn hint(&self) -> String {
        self.fault.hint()
    }
}

impl fmt::Display for Problem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.fault.fmt(f)
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Ingredient(id, part) => write!(f, "ingredient `{id}`, {part}"),
            Self::Recipe(id, RecipePart::Whole) => write!(f, "recipe `{id}`"),
            Self::Recipe(id, part) => write!(f, "recipe `{id}`, {part}"),
        }
    }
}

impl fmt::Display for IngredientPart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Density => "density",
            Self::PieceMass => "piece mass",
            Self::EdibleYield => "edible yield",
        })
    }
}

impl fmt::Display for RecipePart {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Whole => f.write_str("all of it"),
            Self::Density => f.write_str("density"),
            Self::Yield => f.write_str("yield"),
            Self::Batch => f.write_str("batch"),
            Self::Line(index) => write!(f, "line {}", index + 1),
            Self::Loss(index) => write!(f, "loss {}", index + 1),
            Self::Step(index) => write!(f, "step {}", index + 1),
        }
    }
}
