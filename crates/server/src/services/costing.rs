//! Costs as they are sent.

use chablon_arith::{Costing, IngredientCost, LabourCost, Missing, OrderLine, Quote};
use chablon_exchange::Founded;
use chablon_model::Day;
use chablon_quantity::Currency;
use chablon_wire::{Wire, pb};

use super::figure::Asked;
use super::figures::{basis, counted, grams, laid, seconds, told, total, unit_cost};
use crate::status::Refusal;

/// A cost.
pub(super) fn costing(
    asked: Asked,
    on: Day,
    found: Founded<Costing>,
) -> Result<pb::Costing, Refusal> {
    let Founded { figure: cost, basis: digests, deviations, cautions } = found;
    let currency = cost.currency;
    let no_rate = cost.missing.contains(&Missing::LabourRate);
    let order = cost.order.iter().map(|line| order_line(line, currency));
    let pb::ProductDemand { recipe, target } = asked.only();
    Ok(pb::Costing {
        recipe,
        target,
        products: asked.products,
        site: asked.site,
        on: Some(on.to_pb()),
        currency: currency.to_string(),
        complete: cost.is_complete(),
        missing: cost.missing.iter().map(ToString::to_string).collect(),
        food: Some(total(&cost.food, currency)),
        labour: (!no_rate).then(|| total(&cost.labour, currency)),
        total: Some(total(&cost.total, currency)),
        per_piece: cost.per_piece.as_ref().map(unit_cost),
        per_kg: Some(unit_cost(&cost.per_kg)),
        ingredients: cost.ingredients.iter().map(|one| ingredient(one, currency)).collect(),
        order: order.collect::<Result<_, _>>()?,
        basis: Some(basis(&digests, asked.replica)),
        deviations: laid(deviations),
        cautions: told(&cautions),
        labour_by_recipe: cost.labour_by_recipe.iter().map(|one| labour(one, currency)).collect(),
    })
}

fn labour(labour: &LabourCost, currency: Currency) -> pb::RecipeLabour {
    pb::RecipeLabour {
        recipe: labour.recipe.to_string(),
        seconds: Some(seconds(&labour.seconds)),
        cost: labour.cost.as_ref().map(|known| total(known, currency)),
    }
}

fn ingredient(cost: &IngredientCost, currency: Currency) -> pb::IngredientCost {
    pb::IngredientCost {
        ingredient: cost.ingredient.to_string(),
        mass_g: Some(grams(&cost.mass)),
        purchased_g: Some(grams(&cost.purchased)),
        cost: cost.cost.as_ref().map(|known| total(known, currency)),
        price: cost.quote.as_ref().map(price),
    }
}

fn price(quote: &Quote) -> pb::PriceUsed {
    pb::PriceUsed {
        pack_g: Some(grams(&quote.pack)),
        price: Some(total(&quote.price, quote.currency)),
        currency: quote.currency.to_string(),
        from: Some(quote.from.to_pb()),
        supplier: quote.supplier.as_ref().map(ToString::to_string).unwrap_or_default(),
        list: quote.list.to_string(),
    }
}

fn order_line(line: &OrderLine, currency: Currency) -> Result<pb::OrderLine, Refusal> {
    Ok(pb::OrderLine {
        ingredient: line.ingredient.to_string(),
        packs: counted(&line.packs, "packs")?,
        cost: Some(total(&line.cost, currency)),
    })
}
