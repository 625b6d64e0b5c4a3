//! What is in a recipe: allergens, content, labels, ingredient lists, balance, control points.
//!
//! The same from a book as it is written ([`Authored`](crate::figures::Authored)) and from a
//! standard in force ([`Standard`](crate::Standard)), each with its [`Basis`].

mod compute;
#[cfg(feature = "json")]
mod json;
mod reach;

use std::collections::BTreeSet;

use chablon_change::Laid;
use chablon_declare::Declaration;
use chablon_declare::balance::Balance;
use chablon_declare::control::{ControlReport, Jurisdiction};
use chablon_model::{IngredientId, RecipeId};

#[cfg(feature = "json")]
pub use json::reach_to_json;
pub use reach::{AllergenReach, allergen_reach};

use crate::figures::{Basis, Caution};

/// How to declare.
#[derive(Clone, Debug, Default)]
pub struct Declaring {
    /// The ingredients that the product's name, picture or claims call for: their share is stated.
    pub emphasised: BTreeSet<IngredientId>,
    /// Whose published control points the recipe is held to, beside the group's own; those that
    /// the group's plan names where none are named here.
    pub jurisdiction: Option<Jurisdiction>,
}

/// What is declared of a recipe.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Declared {
    /// Allergens, content, labels, ingredient lists.
    pub declaration: Declaration,
    /// Its steps and those of its components, held to published control points.
    pub control: ControlReport,
    /// What it was computed from.
    pub basis: Basis,
    /// The deviations that lie over the standard.
    pub deviations: Vec<Laid>,
    /// What a kitchen must be told.
    pub cautions: Vec<Caution>,
}

/// The balance of a recipe.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Balanced {
    /// The recipe.
    pub recipe: RecipeId,
    /// Parts, ratios, sweetness, water activity.
    pub balance: Balance,
    /// What it was computed from.
    pub basis: Basis,
    /// The deviations that lie over the standard.
    pub deviations: Vec<Laid>,
    /// What a kitchen must be told.
    pub cautions: Vec<Caution>,
}
