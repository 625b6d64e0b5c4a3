//! What a change of prices does to every recipe.

use std::cmp::Reverse;

use chablon_model::Day;
use chablon_quantity::Exact;

use super::{Recost, UnitCost};
use crate::compiled::{CompiledBook, IngredientIndex, RecipeIndex};
use crate::cost::{PriceBook, edible_gram_costs};

/// What a change of prices does to one recipe.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shock {
    /// The recipe.
    pub recipe: RecipeIndex,
    /// Its standard unit cost before.
    pub before: UnitCost,
    /// The same after.
    pub after: UnitCost,
    /// What a net gram costs exactly, before and after.
    pub per_gram: [Exact; 2],
    /// By which part it rose, below 0 where it fell; nothing where it was 0.
    pub change: Option<Exact>,
}

/// The ingredients of which an edible gram costs something else with other prices, and what.
pub fn gram_cost_changes(
    book: &CompiledBook,
    (before, before_day): (&PriceBook<'_>, Day),
    (after, after_day): (&PriceBook<'_>, Day),
) -> Vec<(IngredientIndex, Option<Exact>)> {
    let before = edible_gram_costs(book, before, before_day);
    let after = edible_gram_costs(book, after, after_day);
    let changed = before.into_iter().zip(after).enumerate();
    let changed = changed.filter(|(_, (before, after))| before != after);
    changed.map(|(at, (_, after))| (IngredientIndex(at), after)).collect()
}

impl Recost {
    /// Changes what an edible gram of some ingredients costs, and says what that does to every
    /// recipe that it reaches: the largest change first, equal ones in making order.
    ///
    /// A recipe whose cost is too long to compute with is left out.
    pub fn shock(
        &mut self,
        book: &CompiledBook,
        changes: &[(IngredientIndex, Option<Exact>)],
    ) -> Vec<Shock> {
        let mut trial = self.clone();
        let touched = trial.change(book, changes);
        let mut shocks: Vec<Shock> = touched
            .into_iter()
            .filter_map(|recipe| {
                let before = self.exact_per_gram(book, recipe)?;
                let after = trial.exact_per_gram(book, recipe)?;
                let change = (&after - &before).checked_div(&before);
                let per_gram = [before, after];
                let (before, after) = (self.unit_cost(recipe)?, trial.unit_cost(recipe)?);
                Some(Shock { recipe, before, after, per_gram, change })
            })
            .collect();
        *self = trial;
        shocks.sort_by_key(|shock| Reverse(shock.change.as_ref().map(Exact::abs)));
        shocks
    }
}
