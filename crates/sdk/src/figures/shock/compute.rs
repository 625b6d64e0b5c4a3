//! From documents and moved prices to what they do.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use chablon_arith::{
    CompiledBook, IngredientIndex, PriceBook, Recost, Shock, compile, gram_cost_changes, recost,
};
use chablon_model::{Day, IngredientId, RecipeId};
use chablon_quantity::Exact;

use super::{NewPrice, PriceMove, PriceMoved, RecipeShock, SiteShock};
use crate::Error;
use crate::error::Kind;
use crate::figures::{Figure, Kitchen};

/// What an edible gram of an ingredient costs, where it has a price.
type GramCost = Option<Exact>;
/// What ingredients cost then.
type Changes = Vec<(IngredientIndex, GramCost)>;

impl Kitchen<'_> {
    /// What a move of prices does at the kitchen's site to the recipes that it holds, or to one of
    /// them.
    pub(crate) fn shock(
        &self,
        moved: &PriceMove,
        on: Day,
        only: Option<&RecipeId>,
    ) -> Result<SiteShock, Error> {
        let missing = |what: &str| {
            Error::new(Kind::NotComputable, format!("nothing can be costed without {what}"))
        };
        let site = self.site.ok_or_else(|| missing("a site"))?.value;
        let settings = self.settings.ok_or_else(|| missing("the group's settings"))?.value;
        let lists = self.lists.iter().map(|list| list.value);
        let prices = PriceBook::of_site(site, settings.currency, lists);
        let (book, _) = compile(&self.library);
        let before = if let PriceMove::Since(day) = moved { *day } else { on };
        let mut costs = recost(&book, &prices, before);
        let (changes, without_price) = changes(&book, &prices, moved, on)?;
        let was = |at| prices.gram_cost(&book, at, before).ok();
        let moved_prices = changes
            .iter()
            .map(|(at, now)| price_moved(&book, *at, [was(*at), now.clone()]))
            .collect();
        let mut share = of_what_moved(&book, &changes);
        let shocks = costs.shock(&book, &changes).into_iter();
        let shocks = shocks.filter(|one| only.is_none_or(|id| book.recipe(one.recipe).id == *id));
        let mut recipes: Vec<RecipeShock> =
            shocks.map(|one| recipe(&book, one, &mut share)).collect();
        hardest_first(&mut recipes);
        let (site, currency) = (site.id.clone(), prices.currency());
        Ok(SiteShock { site, currency, prices: moved_prices, without_price, recipes })
    }
}

/// What an edible gram of each ingredient that moves costs then, and what can't move as asked.
fn changes(
    book: &CompiledBook,
    prices: &PriceBook<'_>,
    moved: &PriceMove,
    on: Day,
) -> Result<(Changes, Vec<IngredientId>), Error> {
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
                    return Err(below_nothing(&change.ingredient));
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

fn below_nothing(ingredient: &IngredientId) -> Error {
    let message = format!("the price of `{ingredient}` can't fall by more than all of it");
    Error::new(Kind::NotComputable, message)
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
    let per_kg =
        |edible: &Exact| Figure::unit_cost(edible * &ingredient.edible_yield * Exact::from(1000));
    let change = before.as_ref().zip(after.as_ref());
    let change = change.and_then(|(before, after)| (after - before).checked_div(before));
    PriceMoved {
        ingredient: ingredient.id.clone(),
        before_per_kg: before.as_ref().map(per_kg),
        after_per_kg: after.as_ref().map(per_kg),
        change_percent: change.map(|change| Figure::percent(change * Exact::from(100))),
    }
}

fn recipe(book: &CompiledBook, shock: Shock, share: &mut Recost) -> RecipeShock {
    let recipe = book.recipe(shock.recipe);
    let [before, after] = &shock.per_gram;
    let times = |by: &Exact| [before, after].map(|gram| Figure::unit_cost(gram * by));
    let hundred = Exact::from(100);
    let moved = share.exact_per_gram(book, shock.recipe);
    let part = moved.and_then(|moved| moved.checked_div(after));
    let is_complete = shock.after.complete;
    let complete = shock.before.complete && is_complete;
    RecipeShock {
        recipe: recipe.id.clone(),
        per_kg: times(&Exact::from(1000)),
        per_piece: recipe.piece_mass.as_ref().map(times),
        change_percent: shock
            .change
            .filter(|_| complete)
            .map(|change| Figure::percent(change * &hundred)),
        share_percent: part.filter(|_| is_complete).map(|part| Figure::percent(part * &hundred)),
        complete,
    }
}

/// What a move does at one site, put together from what it does to one recipe after the other.
pub(crate) fn joined(parts: Vec<SiteShock>) -> Option<SiteShock> {
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
    hardest_first(&mut all.recipes);
    Some(all)
}

/// The largest change first, equal ones by id.
fn hardest_first(recipes: &mut [RecipeShock]) {
    let size = |one: &RecipeShock| one.change_percent.as_ref().map(|change| change.exact().abs());
    recipes.sort_by_cached_key(|one| (Reverse(size(one)), one.recipe.clone()));
}
