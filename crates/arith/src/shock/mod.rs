//! What other prices do to every recipe at a site (rule 6.12).

mod compute;

use chablon_model::{IngredientId, RecipeId};
use chablon_quantity::{Currency, Exact};

pub use compute::price_shock;

/// A price that would fall by more than all of it.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the price of `{ingredient}` can't fall by more than all of it")]
pub struct BelowNothing {
    /// The ingredient.
    pub ingredient: IngredientId,
}

/// What other prices do at one site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SiteShock {
    /// The currency of all its costs.
    pub currency: Currency,
    /// The prices that moved there, by ingredient.
    pub prices: Vec<PriceMoved>,
    /// Ingredients whose price can't move as asked, by id.
    pub without_price: Vec<IngredientId>,
    /// Every recipe that is hit, the largest change first.
    pub recipes: Vec<RecipeShock>,
}

/// A price that moved.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PriceMoved {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// What a purchased kilogram cost, where it had a price.
    pub before_per_kg: Option<Exact>,
    /// What it costs now, where it has one.
    pub after_per_kg: Option<Exact>,
    /// By which part it rose; below 0 where it fell.
    pub change: Option<Exact>,
}

/// What other prices do to one recipe: its standard unit cost, food alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RecipeShock {
    /// The recipe.
    pub recipe: RecipeId,
    /// By the net kilogram, before and after.
    pub per_kg: [Exact; 2],
    /// By the piece, before and after, where it yields pieces.
    pub per_piece: Option<[Exact; 2]>,
    /// By which part it rose, below 0 where it fell; nothing where it was 0 or where a price is
    /// missing.
    pub change: Option<Exact>,
    /// The part of the cost after that is for what moved; nothing where that is 0 or where a price
    /// is missing.
    pub share: Option<Exact>,
    /// Whether every price is known, before and after; lower bounds otherwise.
    pub complete: bool,
}

impl SiteShock {
    /// What a move does at one site, put together from what it does to one recipe after the other.
    pub fn joined(parts: impl IntoIterator<Item = Self>) -> Option<Self> {
        let mut parts = parts.into_iter();
        let mut all = parts.next()?;
        for part in parts {
            all.prices.extend(part.prices);
            all.without_price.extend(part.without_price);
            all.recipes.extend(part.recipes);
        }
        all.prices.sort_by(|a, b| a.ingredient.cmp(&b.ingredient));
        all.prices.dedup();
        all.without_price.sort();
        all.without_price.dedup();
        compute::hardest_first(&mut all.recipes);
        Some(all)
    }
}
