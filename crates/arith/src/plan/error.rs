//! Why a plan can't be made.

use std::fmt;

use chablon_model::{IngredientId, RecipeId};
use chablon_quantity::Exact;

use crate::fault::grams;
use crate::geometry::shown;
use crate::{Problem, Target};

/// Why a demand has no plan. Shown as a sentence without a full stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PlanError {
    /// Nothing was asked for.
    NothingAsked,
    /// There is no such recipe.
    UnknownRecipe {
        /// The id as asked for.
        recipe: RecipeId,
    },
    /// The recipe can't be computed.
    RecipeRefused {
        /// The recipe.
        recipe: RecipeId,
        /// Why.
        because: Box<Problem>,
    },
    /// Pieces were asked of a recipe that doesn't yield pieces.
    NoPieces {
        /// The recipe.
        recipe: RecipeId,
    },
    /// The amount asked for isn't above 0.
    NotPositive {
        /// The recipe.
        recipe: RecipeId,
        /// What was asked for.
        target: Target,
    },
    /// What stays behind in the bowl is as much as the bowl can make.
    CapacityBelowResidue(Box<SmallBowl>),
    /// The per-batch amounts alone are more than the demand takes.
    BelowPerBatch(Box<SmallDemand>),
    /// There is no such ingredient.
    UnknownIngredient {
        /// The id as asked for.
        ingredient: IngredientId,
    },
    /// What is on hand was asked for beside other products, which may use it too.
    OnHandAmongOthers {
        /// The ingredient.
        ingredient: IngredientId,
    },
    /// The recipe doesn't use what is on hand.
    OnHandNotUsed {
        /// The recipe.
        recipe: RecipeId,
        /// The ingredient.
        ingredient: IngredientId,
    },
    /// What is on hand doesn't make one piece, or one gram of a recipe by mass.
    OnHandTooLittle {
        /// The recipe.
        recipe: RecipeId,
        /// The ingredient.
        ingredient: IngredientId,
        /// Grams on hand.
        mass: Exact,
    },
    /// The recipe takes no more of it for more pieces, so what is on hand sets no limit.
    OnHandNoLimit {
        /// The recipe.
        recipe: RecipeId,
        /// The ingredient.
        ingredient: IngredientId,
    },
    /// Too many splits into batches lie about the answer to look through.
    OnHandUndecided {
        /// The recipe.
        recipe: RecipeId,
        /// The ingredient.
        ingredient: IngredientId,
    },
    /// A figure has grown beyond what can be written out.
    NumberTooLarge {
        /// Where it did.
        recipe: RecipeId,
    },
}

/// A bowl too small to make anything in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SmallBowl {
    /// The recipe.
    pub recipe: RecipeId,
    /// `C`: grams of input that one batch may have.
    pub capacity: Exact,
    /// `F C`: grams that a full bowl gives.
    pub gives: Exact,
    /// `r`: grams that stay behind.
    pub residue: Exact,
}

/// A demand too small for what every batch takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SmallDemand {
    /// The recipe.
    pub recipe: RecipeId,
    /// `M`: net grams that are asked for.
    pub net: Exact,
    /// `B`: into how many batches they are split.
    pub batches: Exact,
    /// `phi`: the factor that would be left for the other lines; not above 0.
    pub factor: Exact,
}

impl PlanError {
    /// A short name that stays the same when the wording changes.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NothingAsked => "nothing-asked",
            Self::UnknownRecipe { .. } => "unknown-recipe",
            Self::RecipeRefused { .. } => "recipe-refused",
            Self::NoPieces { .. } => "no-pieces",
            Self::NotPositive { .. } => "not-positive",
            Self::CapacityBelowResidue(_) => "capacity-below-residue",
            Self::BelowPerBatch(_) => "below-per-batch",
            Self::UnknownIngredient { .. } => "unknown-ingredient",
            Self::OnHandAmongOthers { .. } => "on-hand-among-others",
            Self::OnHandNotUsed { .. } => "on-hand-not-used",
            Self::OnHandTooLittle { .. } => "on-hand-too-little",
            Self::OnHandNoLimit { .. } => "on-hand-no-limit",
            Self::OnHandUndecided { .. } => "on-hand-undecided",
            Self::NumberTooLarge { .. } => "number-too-large",
        }
    }

    /// What would mend it.
    pub fn hint(&self) -> String {
        match self {
            Self::NothingAsked => "ask for at least one recipe".to_owned(),
            Self::UnknownRecipe { .. } => "correct the name of the recipe".to_owned(),
            Self::RecipeRefused { because, .. } => because.hint(),
            Self::NoPieces { recipe } => {
                format!("ask for a mass, or give `{recipe}` a yield in pieces")
            }
            Self::NotPositive { .. } => "ask for an amount above 0".to_owned(),
            Self::CapacityBelowResidue(_) => "use a larger bowl".to_owned(),
            Self::BelowPerBatch(demand) if demand.batches > Exact::from(1) => {
                "ask for more, or make it in a larger bowl, in fewer batches".to_owned()
            }
            Self::BelowPerBatch(_) => "ask for more".to_owned(),
            Self::UnknownIngredient { .. } => "correct the name of the ingredient".to_owned(),
            Self::OnHandAmongOthers { .. } => {
                "plan what uses up the ingredient on its own".to_owned()
            }
            Self::OnHandNotUsed { .. } => "name an ingredient that is weighed for it".to_owned(),
            Self::OnHandTooLittle { .. } => "more of the ingredient is needed".to_owned(),
            Self::OnHandNoLimit { .. } | Self::OnHandUndecided { .. } => {
                "ask for pieces or for a mass instead".to_owned()
            }
            Self::NumberTooLarge { .. } => {
                "use rounder amounts, or nest the recipes less deeply".to_owned()
            }
        }
    }
}

impl std::error::Error for PlanError {}

impl fmt::Display for PlanError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NothingAsked => f.write_str("no recipe is asked for"),
            Self::UnknownRecipe { recipe } => write!(f, "there is no recipe `{recipe}`"),
            Self::RecipeRefused { recipe, because } => {
                write!(f, "`{recipe}` can't be computed: at {}, {because}", because.place)
            }
            Self::NoPieces { recipe } => write!(f, "`{recipe}` doesn't yield pieces"),
            Self::NotPositive { recipe, target } => {
                write!(f, "there is nothing to make in {} of `{recipe}`", asked(target))
            }
            Self::CapacityBelowResidue(bowl) => bowl.fmt(f),
            Self::BelowPerBatch(demand) => demand.fmt(f),
            Self::UnknownIngredient { ingredient } => {
                write!(f, "there is no ingredient `{ingredient}`")
            }
            Self::OnHandAmongOthers { ingredient } => {
                write!(f, "what `{ingredient}` makes can't be planned beside other products")
            }
            Self::OnHandNotUsed { recipe, ingredient } => {
                write!(f, "`{recipe}` takes no weighed amount of `{ingredient}`")
            }
            Self::OnHandTooLittle { recipe, ingredient, mass } => {
                write!(f, "{} of `{ingredient}` is too little for any `{recipe}`", grams(mass))
            }
            Self::OnHandNoLimit { recipe, ingredient } => {
                write!(f, "`{recipe}` takes the same `{ingredient}` however much is made")
            }
            Self::OnHandUndecided { recipe, ingredient } => {
                write!(f, "`{recipe}` is split into too many batches to use up `{ingredient}`")
            }
            Self::NumberTooLarge { recipe } => {
                write!(f, "a figure of `{recipe}` has grown too long to compute with")
            }
        }
    }
}

impl fmt::Display for SmallBowl {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { recipe, capacity, gives, residue } = self;
        let (capacity, gives, residue) = (grams(capacity), grams(gives), grams(residue));
        write!(f, "a bowl of {capacity} gives {gives} of `{recipe}`, and {residue} stays behind")
    }
}

impl fmt::Display for SmallDemand {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { recipe, net, batches, .. } = self;
        let net = shown::number(net);
        write!(f, "{net} g of `{recipe}`")?;
        if *batches > Exact::from(1) {
            write!(f, " in {batches} batches")?;
        }
        f.write_str(" is too little: what every batch takes, however small, makes more than that")
    }
}

/// A demand in a few words, before the name of what is made.
fn asked(target: &Target) -> String {
    let amount = shown::number(target.amount());
    match target {
        Target::Pieces(_) => format!("{amount} pieces"),
        Target::NetMass(_) => format!("{amount} g"),
        Target::Factor(_) => format!("{amount} times the written amount"),
        Target::WrittenBatches(_) => format!("{amount} batches"),
        Target::OnHand { ingredient, .. } => format!("what {amount} g of `{ingredient}` gives"),
    }
}
