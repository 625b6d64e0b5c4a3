//! Standard unit cost: the figure that is compared between sites and revisions.

use chablon_model::Day;
use chablon_quantity::{Exact, Share};

use super::PriceBook;
use crate::compiled::{CompiledBook, CompiledRecipe, IngredientIndex, Used};
use crate::{products, size};

/// What a recipe's food costs by the standard: one written batch over its net yield, without the
/// effects of any batch size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StandardCost {
    /// The food of one written batch.
    pub food: Exact,
    /// By the net gram.
    pub per_gram: Exact,
    /// By the piece, where the recipe yields pieces.
    pub per_piece: Option<Exact>,
    /// Whether every price is known; a lower bound otherwise.
    pub complete: bool,
}

/// The standard unit cost of every recipe, in making order; nothing where a figure grows beyond
/// what can be written out.
pub fn standard_costs(
    book: &CompiledBook,
    prices: &PriceBook<'_>,
    day: Day,
) -> Vec<Option<StandardCost>> {
    let edible = edible_gram_costs(book, prices, day);
    let mut costs: Vec<Option<StandardCost>> = Vec::with_capacity(book.recipes.len());
    for recipe in &book.recipes {
        let cost = standard_cost(book, recipe, &edible, &costs);
        costs.push(cost);
    }
    costs
}

/// What an edible gram of every ingredient costs, where it has a price.
pub(crate) fn edible_gram_costs(
    book: &CompiledBook,
    prices: &PriceBook<'_>,
    day: Day,
) -> Vec<Option<Exact>> {
    let all = (0..book.ingredients.len()).map(IngredientIndex);
    all.map(|one| prices.gram_cost(book, one, day).ok()).collect()
}

fn standard_cost(
    book: &CompiledBook,
    recipe: &CompiledRecipe,
    edible: &[Option<Exact>],
    done: &[Option<StandardCost>],
) -> Option<StandardCost> {
    let nothing = Exact::from(0);
    let mut complete = true;
    let mut terms = Vec::with_capacity(recipe.lines.len());
    for line in &book.lines[recipe.lines.clone()] {
        let gram = match line.uses {
            Used::Ingredient(index) => {
                complete &= edible[index.0].is_some();
                edible[index.0].as_ref().unwrap_or(&nothing)
            }
            Used::Component(_) if !line.mass.is_positive() => continue,
            Used::Component(index) => {
                let component = done[index.0].as_ref()?;
                complete &= component.complete;
                &component.per_gram
            }
        };
        terms.push((&line.mass, gram));
    }
    let food = products::sum(terms)?;
    let per_gram = &food / &recipe.net;
    let per_piece = recipe.pieces.as_ref().map(|pieces| &food / pieces);
    size::manageable(&per_gram).then_some(StandardCost { food, per_gram, per_piece, complete })
}

/// The price at which food costs are this share of it, or nothing for a share at or below 0.
pub fn price_for_share(food: &Exact, share: &Share) -> Option<Exact> {
    share.0.is_positive().then(|| food / &share.0)
}
