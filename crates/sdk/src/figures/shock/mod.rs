//! What other prices do to every recipe.

mod compute;

use chablon_model::{Day, IngredientId, RecipeId, SiteId};
use chablon_quantity::Currency;

pub use chablon_model::{NewPrice, PriceChange, PriceMove};

use super::{Basis, Figure};

/// What other prices do at one site or at several.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct PriceShock {
    /// The day whose prices and rates count.
    pub on: Day,
    /// The sites, by id.
    pub sites: Vec<SiteShock>,
    /// What it was computed from.
    pub basis: Basis,
}

/// What other prices do at one site.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct SiteShock {
    /// The site.
    pub site: SiteId,
    /// The currency of all its costs.
    pub currency: Currency,
    /// The prices that moved there, by ingredient.
    pub prices: Vec<PriceMoved>,
    /// Ingredients whose price can't move as asked, since the site has none that holds by the day,
    /// or no rate or pack mass for the new one.
    pub without_price: Vec<IngredientId>,
    /// Every recipe that is hit, the largest change first.
    pub recipes: Vec<RecipeShock>,
}

/// A price that moved.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct PriceMoved {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// What a purchased kilogram cost, where it had a price.
    pub before_per_kg: Option<Figure>,
    /// What it costs now, where it has one.
    pub after_per_kg: Option<Figure>,
    /// By how much in per cent it rose; below 0 where it fell.
    pub change_percent: Option<Figure>,
}

/// What other prices do to one recipe: its standard unit cost, food alone.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct RecipeShock {
    /// The recipe.
    pub recipe: RecipeId,
    /// By the net kilogram, before and after.
    pub per_kg: [Figure; 2],
    /// By the piece, before and after, where it yields pieces.
    pub per_piece: Option<[Figure; 2]>,
    /// By how much in per cent it rose, below 0 where it fell; nothing where it was 0 or where a
    /// price is missing.
    pub change_percent: Option<Figure>,
    /// How much in per cent of the cost after is for what moved; nothing where that is 0 or where a
    /// price is missing.
    pub share_percent: Option<Figure>,
    /// Whether every price is known, before and after; lower bounds otherwise.
    pub complete: bool,
}

impl SiteShock {
    /// What happens to one recipe, if it is hit.
    pub fn recipe(&self, recipe: &str) -> Option<&RecipeShock> {
        self.recipes.iter().find(|one| one.recipe.as_str() == recipe)
    }
}
