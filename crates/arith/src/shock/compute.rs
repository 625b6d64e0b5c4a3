//! From moved prices to what they do.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use chablon_model::{Day, IngredientId, NewPrice, PriceMove, RecipeId};
use chablon_quantity::Exact;

use super::{BelowNothing, PriceMoved, RecipeShock, SiteShock};
use crate::recost::Shock;
use crate::{CompiledBook, IngredientIndex, PriceBook, Recost, gram_cost_changes, recost};

/// What an edible gram of an ingredient costs, where it has a price.
type GramCost = Option<Exact>;
/// What ingredients cost then.
type Changes = Vec<(IngredientIndex, GramCost)>;

/// What a move of prices does at a site to the recipes of a book, or to one of them.
pub fn price_shock(
    book: &CompiledBook,
    prices: &PriceBook<'_>,
    (moved, on): (&PriceMove, Day),
    only: Option<&RecipeId>,
) -> Result<SiteShock, BelowNothing> {
    let before = if let PriceMove::Since(day) = moved { *day } else { on };
    let mut costs = recost(book, prices, before);
    let (changes, without_price) = changes(book, prices, moved, on)?;
    let was = |at| prices.gram_cost(book, at, before).ok();
    let moved_prices =
        changes.iter().map(|(at, now)| price_moved(book, *at, [was(*at), now.clone()])).collect();
    let mut share = of_what_moved(book, &changes);
    let shocks = costs.shock(book, &changes).into_iter();
    let shocks = shocks.filter(|one| only.is_none_or(|id| book.recipe(one.recipe).id == *id));
    let mut recipes: Vec<RecipeShock> = shocks.map(|one| recipe(book, one, &mut share)).collect();
    hardest_first(&mut recipes);
    Ok(SiteShock { currency: prices.currency(), prices: moved_prices, without_price, recipes })
}

/// What an edible gram of each ingredient that moves costs then, and what can't move as asked.
fn changes(
    book: &CompiledBook,
    prices: &PriceBook<'_>,
    moved: &PriceMove,
    on: Day,
) -> Result<(Changes, Vec<IngredientId>), BelowNothing> {
    let asked = match moved {
        PriceMove::Since(day) => {
            return Ok((gram_cost_changes(book, (prices, *day), (prices, on)), Vec::new()));
        }
        PriceMove::To(asked) => asked,
    };
    let mut changes: BTreeMap<IngredientIndex, GramCost> = BTreeMap::new();
    let mut without_price = Vec::new();
    for change in asked {
        let Some(at) = book.find_ingredient(&change.ingredient) else { continue };
        let now = match &change.to {
            NewPrice::Pack { pack, price } => prices.gram_cost_by(book, at, (pack, price), on),
            NewPrice::By(part) => {
                let factor = Exact::from(1) + part;
                if factor.is_negative() {
                    return Err(BelowNothing { ingredient: change.ingredient.clone() });
                }
                prices.gram_cost(book, at, on).map(|cost| cost * factor)
            }
        };
        match now {
            Ok(now) => drop(changes.insert(at, Some(now))),
            Err(_) => without_price.push(change.ingredient.clone()),
        }
    }
    without_price.sort();
    without_price.dedup();
    Ok((changes.into_iter().collect(), without_price))
}

/// Costs in which only what moved costs anything.
fn of_what_moved(book: &CompiledBook, changes: &[(IngredientIndex, GramCost)]) -> Recost {
    let mut costs = vec![Some(Exact::from(0)); book.ingredients().len()];
    for (at, cost) in changes {
        costs[at.0] = Some(cost.clone().unwrap_or_else(|| Exact::from(0)));
    }
    Recost::new(book, costs)
}

fn price_moved(
    book: &CompiledBook,
    at: IngredientIndex,
    [before, after]: [GramCost; 2],
) -> PriceMoved {
    let ingredient = book.ingredient(at);
    let per_kg = |edible: &Exact| edible * &ingredient.edible_yield * Exact::from(1000);
    let change = before.as_ref().zip(after.as_ref());
    let change = change.and_then(|(before, after)| (after - before).checked_div(before));
    PriceMoved {
        ingredient: ingredient.id.clone(),
        before_per_kg: before.as_ref().map(per_kg),
        after_per_kg: after.as_ref().map(per_kg),
        change,
    }
}

fn recipe(book: &CompiledBook, shock: Shock, share: &mut Recost) -> RecipeShock {
    let recipe = book.recipe(shock.recipe);
    let [before, after] = &shock.per_gram;
    let times = |by: &Exact| [before, after].map(|gram| gram * by);
    let moved = share.exact_per_gram(book, shock.recipe);
    let part = moved.and_then(|moved| moved.checked_div(after));
    let is_complete = shock.after.complete;
    let complete = shock.before.complete && is_complete;
    RecipeShock {
        recipe: recipe.id.clone(),
        per_kg: times(&Exact::from(1000)),
        per_piece: recipe.piece_mass.as_ref().map(times),
        change: shock.change.filter(|_| complete),
        share: part.filter(|_| is_complete),
        complete,
    }
}

/// The largest change first, equal ones by id.
pub(super) fn hardest_first(recipes: &mut [RecipeShock]) {
    let size = |one: &RecipeShock| one.change.as_ref().map(Exact::abs);
    recipes.sort_by_cached_key(|one| (Reverse(size(one)), one.recipe.clone()));
}
