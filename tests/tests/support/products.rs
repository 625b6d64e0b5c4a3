//! A plan of several products as JSON, with the keys of the oracle.

use chablon_sdk::arith::{
    self, Hint, Plan, PlannedLine, PlannedRecipe, Target, TrayLoads, Weighing,
};
use chablon_sdk::figures::Figure;
use chablon_sdk::model::Uses;
use chablon_sdk::quantity::Exact;
use serde_json::{Value, json};

/// The products, and all that is made for them.
pub(crate) fn plan(plan: &Plan, site: Option<&str>) -> Value {
    json!({
        "products": plan.products.iter().map(product).collect::<Value>(),
        "site": site,
        "components": plan.components.iter().map(component).collect::<Value>(),
        "ingredients": plan.ingredients.iter().map(total).collect::<Value>(),
    })
}

/// What a plan costs.
pub(crate) fn costing(cost: &arith::Costing) -> Value {
    let money = |exact: &Exact| Figure::total(exact.clone(), cost.currency).to_json();
    let unit = |exact: &Exact| Figure::unit_cost(exact.clone()).to_json();
    let ordered = |line: &arith::OrderLine| {
        let (packs, cost) = (line.packs.to_u64(), money(&line.cost));
        json!({"ingredient": line.ingredient.to_string(), "packs": packs, "cost": cost})
    };
    json!({
        "currency": cost.currency.to_string(),
        "complete": cost.is_complete(),
        "missing": cost.missing.iter().map(arith::Missing::key).collect::<Vec<_>>(),
        "food": money(&cost.food),
        "labour": money(&cost.labour),
        "total": money(&cost.total),
        "per_piece": cost.per_piece.as_ref().map(unit),
        "per_kg": unit(&cost.per_kg),
        "ingredients": cost.ingredients.iter().map(|one| used(one, &money)).collect::<Value>(),
        "order": cost.order.iter().map(ordered).collect::<Value>(),
    })
}

fn used(one: &arith::IngredientCost, money: &impl Fn(&Exact) -> Value) -> Value {
    json!({
        "ingredient": one.ingredient.to_string(),
        "mass_g": grams(&one.mass),
        "purchased_g": grams(&one.purchased),
        "cost": one.cost.as_ref().map(money),
        "price": one.quote.as_ref().map(price),
    })
}

fn price(quote: &arith::Quote) -> Value {
    json!({
        "pack_g": grams(&quote.pack),
        "price": Figure::total(quote.price.clone(), quote.currency).to_json(),
        "currency": quote.currency.to_string(),
        "from": quote.from.to_string(),
        "supplier": quote.supplier.as_ref().map(ToString::to_string),
        "list": quote.list.to_string(),
    })
}

fn product(product: &arith::Product) -> Value {
    json!({
        "recipe": product.recipe.to_string(),
        "target": target(&product.target),
        "net_g": grams(&product.net),
        "pieces": product.pieces.as_ref().map(pieces),
    })
}

fn target(target: &Target) -> Value {
    match target {
        Target::Pieces(count) => json!({"pieces": pieces(count)}),
        Target::NetMass(mass) => json!({"mass_g": grams(mass)}),
        Target::Factor(factor) => json!({"factor": Figure::factor(factor.clone()).to_json()}),
        Target::WrittenBatches(count) => {
            json!({"batches": Figure::factor(count.clone()).to_json()})
        }
        Target::OnHand { ingredient, mass } => {
            json!({"on_hand": {"ingredient": ingredient.to_string(), "mass_g": grams(mass)}})
        }
    }
}

fn component(made: &PlannedRecipe) -> Value {
    let warnings = made.warnings.iter().map(|one| json!({"code": one.code()}));
    json!({
        "recipe": made.recipe.to_string(),
        "net_g": grams(&made.net),
        "pieces": made.pieces.as_ref().map(pieces),
        "batches": made.batches.to_u64(),
        "factor": Figure::factor(made.factor.clone()).to_json(),
        "input_g": grams(&made.input),
        "lines": made.lines.iter().map(line).collect::<Value>(),
        "trays": made.trays.iter().map(trays).collect::<Value>(),
        "warnings": warnings.collect::<Value>(),
    })
}

fn trays(loads: &TrayLoads) -> Value {
    let TrayLoads { equipment, pieces, oven } = loads;
    json!({
        "equipment": equipment.to_string(),
        "pieces": pieces,
        "per_tray": oven.per_tray,
        "trays": oven.trays,
        "last_tray": oven.last_tray,
        "per_load": oven.per_load,
        "loads": oven.loads,
        "last_load": oven.last_load,
    })
}

fn line(line: &PlannedLine) -> Value {
    let (kind, id) = match &line.uses {
        Uses::Ingredient(id) => ("ingredient", id.to_string()),
        Uses::Component(id) => ("component", id.to_string()),
    };
    json!({
        "line": line.number,
        kind: id,
        "mass_g": grams(&line.mass),
        "per_batch_g": grams(&line.per_batch),
        "weigh": line.weigh.as_ref().map(weighing),
        "hints": line.hints.iter().map(hint).collect::<Value>(),
    })
}

fn hint(hint: &Hint) -> Value {
    match hint {
        Hint::FinerScale { increment } => {
            json!({"code": hint.code(), "increment_g": grams(increment)})
        }
        Hint::LargerBatch { times, mass } => {
            let times = Figure::factor(times.clone()).to_json();
            json!({"code": hint.code(), "times": times, "mass_g": grams(mass)})
        }
        Hint::PreMix { carrier, weigh, carrier_mass, take } => json!({
            "code": hint.code(),
            "carrier_line": carrier,
            "weigh_g": grams(weigh),
            "carrier_g": grams(carrier_mass),
            "take_g": grams(take),
        }),
    }
}

fn weighing(weighing: &Weighing) -> Value {
    json!({
        "scale": weighing.scale,
        "weighings": weighing.weighings.to_u64(),
        "reading_g": grams(&weighing.reading),
        "error_percent": Figure::percent(weighing.error_percent()).to_json(),
        "flag": weighing.flag.map(arith::WeighFlag::code),
    })
}

fn total(total: &arith::IngredientTotal) -> Value {
    json!({"ingredient": total.ingredient.to_string(), "mass_g": grams(&total.mass)})
}

fn grams(mass: &Exact) -> Value {
    Figure::grams(mass.clone()).to_json()
}

fn pieces(count: &Exact) -> Value {
    Figure::pieces(count.clone()).to_json()
}
