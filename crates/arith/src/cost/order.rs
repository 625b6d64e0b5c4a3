//! What to order: whole packs.

use std::collections::BTreeSet;

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

/// The packs of every ingredient that has a price.
pub(super) fn order(book: &CompiledBook, plan: &Plan, costs: &[IngredientCost]) -> Vec<OrderLine> {
    let whole = in_whole_pieces(book, plan);
    let lines = costs.iter().filter_map(|cost| {
        let quote = cost.quote.as_ref()?;
        let purchased = to_purchase(book, cost, whole.contains(&cost.ingredient))?;
        let packs = (&purchased / &quote.pack).ceil();
        let price = &packs * &quote.converted;
        Some(OrderLine { ingredient: cost.ingredient.clone(), purchased, packs, cost: price })
    });
    lines.collect()
}

/// The ingredients that some line of the plan takes in whole pieces.
fn in_whole_pieces<'a>(book: &CompiledBook, plan: &'a Plan) -> BTreeSet<&'a IngredientId> {
    let mut ids = BTreeSet::new();
    for component in &plan.components {
        let Some(index) = book.find_recipe(&component.recipe) else { continue };
        for (line, written) in component.lines.iter().zip(book.lines_of(index)) {
            if let (Uses::Ingredient(id), Scaling::Whole) = (&line.uses, written.scaling) {
                ids.insert(id);
            }
        }
    }
    ids
}

/// The purchased mass of an ingredient. What some line takes in whole pieces is bought in whole
/// pieces: the edible mass of all its lines is rounded up to those.
fn to_purchase(book: &CompiledBook, cost: &IngredientCost, whole: bool) -> Option<Exact> {
    let ingredient = book.ingredient(book.find_ingredient(&cost.ingredient)?);
    match ingredient.piece_mass.as_ref().filter(|_| whole) {
        Some(piece) => Some((&cost.mass / piece).ceil() * piece / &ingredient.edible_yield),
        None => Some(cost.purchased.clone()),
    }
}
