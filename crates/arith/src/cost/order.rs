//! What to order: whole packs.

use std::collections::BTreeMap;

use chablon_model::{IngredientId, Scaling, Uses};
use chablon_quantity::Exact;

use super::IngredientCost;
use crate::Plan;
use crate::compiled::CompiledBook;

/// What to order of one ingredient.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderLine {
    /// The ingredient.
    pub ingredient: IngredientId,
    /// Purchased grams that are needed, whole pieces where lines ask for them.
    pub purchased: Exact,
    /// Packs: a whole number.
    pub packs: Exact,
    /// What they cost, in the currency that is costed in.
    pub cost: Exact,
}

/// The packs of every ingredient that has a price and is needed.
pub(super) fn order(book: &CompiledBook, plan: &Plan, costs: &[IngredientCost]) -> Vec<OrderLine> {
    let whole = whole_lines(book, plan);
    let lines = costs.iter().filter_map(|cost| {
        let quote = cost.quote.as_ref()?;
        let purchased = to_purchase(book, cost, whole.get(&cost.ingredient))?;
        let packs = (&purchased / &quote.pack).ceil();
        let price = &packs * &quote.converted;
        let ingredient = cost.ingredient.clone();
        packs.is_positive().then_some(OrderLine { ingredient, purchased, packs, cost: price })
    });
    lines.collect()
}

/// The edible mass of each ingredient that is taken by lines in whole pieces.
fn whole_lines<'a>(book: &CompiledBook, plan: &'a Plan) -> BTreeMap<&'a IngredientId, Exact> {
    let mut masses = BTreeMap::new();
    for component in &plan.components {
        for (line, written) in component.lines.iter().zip(book.lines_of(component.index)) {
            if let (Uses::Ingredient(id), Scaling::Whole) = (&line.uses, written.scaling) {
                let mass = masses.entry(id).or_insert_with(|| Exact::from(0));
                *mass = &*mass + &line.mass;
            }
        }
    }
    masses
}

/// The purchased mass of an ingredient, what is taken in whole pieces rounded up to those.
fn to_purchase(book: &CompiledBook, cost: &IngredientCost, whole: Option<&Exact>) -> Option<Exact> {
    let ingredient = book.ingredient(book.find_ingredient(&cost.ingredient)?);
    let Some((whole, piece)) = whole.zip(ingredient.piece_mass.as_ref()) else {
        return Some(cost.purchased.clone());
    };
    let pieces = (whole / piece).ceil() * piece;
    Some((&cost.mass - whole + pieces) / &ingredient.edible_yield)
}
