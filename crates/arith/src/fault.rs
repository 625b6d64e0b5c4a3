//! The wording of problems: what is wrong, and what would mend it.

use std::fmt;

use chablon_model::{RecipeId, Uses};
use chablon_quantity::Exact;

use crate::Fault;

impl Fault {
    /// A short name that stays the same when the wording changes.
    pub fn code(&self) -> &'static str {
        match self {
            Self::UnknownIngredient { .. } => "unknown-ingredient",
            Self::UnknownComponent { .. } => "unknown-component",
            Self::Cycle { .. } => "cycle",
            Self::ComponentRefused { .. } => "component-refused",
            Self::IngredientRefused { .. } => "ingredient-refused",
            Self::MissingDensity { .. } | Self::ThicknessWithoutDensity => "missing-density",
            Self::Shape(_) => "shape",
            Self::MissingPieceMass { .. } => "missing-piece-mass",
            Self::NoPieces { .. } => "no-pieces",
            Self::ShareWithoutBase => "share-without-base",
            Self::ShareAsBase => "share-as-base",
            Self::Negative { .. } => "negative",
            Self::NotPositive { .. } => "not-positive",
            Self::LossOutOfRange { .. } => "loss-out-of-range",
            Self::BatchBounds { .. } => "batch-bounds",
            Self::NoMass => "no-mass",
            Self::NothingScales => "nothing-scales",
            Self::NothingLeft { .. } => "nothing-left",
            Self::UnexplainedLoss { .. } => "unexplained-loss",
            Self::LabourNeedsPieces { .. } => "labour-needs-pieces",
            Self::NumberTooLarge => "number-too-large",
        }
    }

    /// What would mend it.
    pub fn hint(&self) -> String {
        match self {
            Self::UnknownIngredient { ingredient } => {
                format!("add an ingredient `{ingredient}`, or correct the name")
            }
            Self::UnknownComponent { component } => {
                format!("add a recipe `{component}`, or correct the name")
            }
            Self::Cycle { .. } => "take one of the recipes out of the loop".to_owned(),
            Self::ComponentRefused { path, .. } => match path.last() {
                Some(at_fault) => format!("mend `{at_fault}` first"),
                None => "mend the component first".to_owned(),
            },
            Self::IngredientRefused { ingredient } => format!("mend `{ingredient}` first"),
            Self::MissingDensity { uses } => missing_density_hint(uses),
            Self::MissingPieceMass { ingredient } => {
                format!("state the piece mass of `{ingredient}`, or give a mass")
            }
            Self::NoPieces { component } => {
                format!("give `{component}` a yield in pieces, or give a mass")
            }
            Self::NothingScales => {
                "let at least one line scale in proportion to the batch".to_owned()
            }
            other => other.plain_hint().to_owned(),
        }
    }

    fn plain_hint(&self) -> &'static str {
        match self {
            Self::ShareWithoutBase => "mark the lines that make up 100 % with `base = true`",
            Self::ShareAsBase => "give this line a mass, or take `base` from it",
            Self::Negative { .. } => "give an amount of at least 0",
            Self::NotPositive { .. } => "give an amount above 0",
            Self::ThicknessWithoutDensity => {
                "state the recipe's `density`, or the `piece_mass` instead of the thickness"
            }
            Self::Shape(_) => "measure again, and check the units",
            Self::LossOutOfRange { .. } => "give a loss of at least 0 % and below 100 %",
            Self::BatchBounds { .. } => "let the minimum be at most the maximum",
            Self::NoMass => "give at least one line an amount",
            Self::NothingLeft { .. } => "lower the losses or the residue, or raise the amounts",
            Self::UnexplainedLoss { .. } => {
                "correct the yield, state the loss that is missing, or check the amounts"
            }
            Self::LabourNeedsPieces { .. } => {
                "state the yield in pieces, or count the time `per-batch` or `with-mass`"
            }
            _ => "use rounder amounts, or nest the recipes less deeply",
        }
    }
}

fn missing_density_hint(uses: &Uses) -> String {
    format!("state the density of `{}`, or give a mass", uses.id())
}

/// A part as a percentage for people.
pub(crate) fn percent(part: &Exact) -> String {
    format!("{} %", (part * Exact::from(100)).round(2))
}

/// A mass for people.
pub(crate) fn grams(mass: &Exact) -> String {
    format!("{} g", mass.round(3))
}

fn chain(path: &[RecipeId], left_out: usize) -> String {
    let mut names: Vec<String> = path.iter().map(|id| format!("`{id}`")).collect();
    if left_out > 0 {
        names.insert(names.len().saturating_sub(1), format!("({left_out} more)"));
    }
    names.join(" -> ")
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::UnknownIngredient { ingredient } => {
                write!(f, "there is no ingredient `{ingredient}`")
            }
            Self::UnknownComponent { component } => write!(f, "there is no recipe `{component}`"),
            Self::Cycle { path } => {
                write!(f, "these recipes use each other in a loop: {}", chain(path, 0))
            }
            Self::ComponentRefused { path, left_out } => {
                write!(f, "can't be computed because of {}", chain(path, *left_out))
            }
            Self::IngredientRefused { ingredient } => {
                write!(f, "the figures of `{ingredient}` are refused")
            }
            Self::MissingDensity { uses } => {
                write!(f, "a volume of `{}` has no mass without its density", uses.id())
            }
            Self::MissingPieceMass { ingredient } => {
                write!(f, "pieces of `{ingredient}` have no mass without a piece mass")
            }
            Self::NoPieces { component } => {
                write!(f, "`{component}` doesn't yield pieces, so it can't be counted")
            }
            Self::Shape(error) => error.fmt(f),
            Self::Negative { what, value } => {
                write!(f, "{what} is {}, which is below 0", value.round(3))
            }
            Self::NotPositive { what, value } => {
                write!(f, "{what} is {}, but must be above 0", value.round(3))
            }
            Self::LossOutOfRange { fraction } => {
                write!(f, "a loss of {} can't be", percent(fraction))
            }
            Self::BatchBounds { min, max } => {
                write!(
                    f,
                    "the least batch of {} is above the largest of {}",
                    grams(min),
                    grams(max)
                )
            }
            Self::NothingLeft { net } => {
                write!(f, "losses and residue leave {} of a batch", grams(net))
            }
            Self::UnexplainedLoss { share, .. } => unexplained(f, share),
            Self::LabourNeedsPieces { step } => {
                write!(f, "step `{step}` counts its time by the piece, but no pieces are made")
            }
            other => f.write_str(other.plain()),
        }
    }
}

impl Fault {
    fn plain(&self) -> &'static str {
        match self {
            Self::ShareWithoutBase => "a share needs base lines to be a share of",
            Self::ShareAsBase => "a base line can't itself be a share of the base lines",
            Self::ThicknessWithoutDensity => {
                "pieces of a thickness have no mass without the recipe's density"
            }
            Self::NoMass => "the lines weigh nothing, so nothing can be made",
            Self::NothingScales => {
                "every line is fixed per batch, so the recipe can't follow a demand"
            }
            _ => "a figure of this recipe has grown too long to compute with",
        }
    }
}

fn unexplained(f: &mut fmt::Formatter<'_>, share: &Exact) -> fmt::Result {
    if share.is_negative() {
        write!(f, "the yield is {} more than the stated losses can leave", percent(&share.abs()))
    } else {
        write!(f, "the yield implies a loss of {} that no loss states", percent(share))
    }
}
