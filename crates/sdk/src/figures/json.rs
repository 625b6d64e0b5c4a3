//! Results as JSON, with the keys that everyone who prints them shares.

use std::fmt::Display;

use chablon_arith::{Demand, Hint, Target, TrayLoads};
use chablon_change::Laid;
use chablon_model::Uses;
use chablon_quantity::Exact;
use serde_json::{Map, Value, json};

use super::{
    Basis, Caution, Component, Costing, Figure, IngredientCost, IngredientTotal, Line, OrderLine,
    Plan, PriceMoved, PriceShock, PriceUsed, Product, RecipeShock, SiteShock, Warning, Weighing,
};

impl Figure {
    /// `{"exact": "5/2", "rounded": "2.500"}`.
    pub fn to_json(&self) -> Value {
        json!({"exact": text(self.exact()), "rounded": text(&self.rounded())})
    }
}

impl Plan {
    /// The plan as JSON. `recipe` and `target` are null where several products are asked for.
    pub fn to_json(&self) -> Value {
        json!({
            "recipe": self.only_product().map(|one| text(&one.recipe)),
            "target": self.only_product().map(|one| target(&one.target)),
            "products": list(&self.products, product),
            "site": self.site.as_ref().map(text),
            "components": list(&self.components, component),
            "ingredients": list(&self.ingredients, total),
            "basis": basis(&self.basis),
            "deviations": list(&self.deviations, laid),
            "cautions": list(&self.cautions, caution),
        })
    }
}

impl Costing {
    /// The cost as JSON. `recipe` and `target` are null where several products are asked for.
    pub fn to_json(&self) -> Value {
        let only = match &self.products[..] {
            [one] => Some(one),
            _ => None,
        };
        json!({
            "currency": text(&self.currency),
            "complete": self.is_complete(),
            "missing": list(&self.missing, |missing| Value::from(missing.key.clone())),
            "food": self.food.to_json(),
            "labour": self.labour.to_json(),
            "total": self.total.to_json(),
            "per_piece": self.per_piece.as_ref().map(Figure::to_json),
            "per_kg": self.per_kg.to_json(),
            "ingredients": list(&self.ingredients, ingredient_cost),
            "order": list(&self.order, order_line),
            "recipe": only.map(|one| text(&one.recipe)),
            "target": only.map(|one| target(&one.target)),
            "products": list(&self.products, demand),
            "site": text(&self.site),
            "on": text(&self.on),
            "basis": basis(&self.basis),
            "deviations": list(&self.deviations, laid),
            "cautions": list(&self.cautions, caution),
        })
    }
}

impl PriceShock {
    /// What the prices do, as JSON. A figure of two moments is `{"before": ..., "after": ...}`.
    pub fn to_json(&self) -> Value {
        json!({
            "on": text(&self.on),
            "sites": list(&self.sites, site_shock),
            "basis": basis(&self.basis),
        })
    }
}

fn site_shock(shock: &SiteShock) -> Value {
    json!({
        "site": text(&shock.site),
        "currency": text(&shock.currency),
        "prices": list(&shock.prices, price_moved),
        "without_price": list(&shock.without_price, text),
        "recipes": list(&shock.recipes, recipe_shock),
    })
}

fn price_moved(moved: &PriceMoved) -> Value {
    let figure = |figure: &Option<Figure>| figure.as_ref().map(Figure::to_json);
    let (before, after) = (figure(&moved.before_per_kg), figure(&moved.after_per_kg));
    json!({
        "ingredient": text(&moved.ingredient),
        "per_kg": {"before": before, "after": after},
        "change_percent": figure(&moved.change_percent),
    })
}

fn recipe_shock(shock: &RecipeShock) -> Value {
    let both = |[before, after]: &[Figure; 2]| json!({"before": before.to_json(), "after": after.to_json()});
    json!({
        "recipe": text(&shock.recipe),
        "per_kg": both(&shock.per_kg),
        "per_piece": shock.per_piece.as_ref().map(both),
        "change_percent": shock.change_percent.as_ref().map(Figure::to_json),
        "share_percent": shock.share_percent.as_ref().map(Figure::to_json),
        "complete": shock.complete,
    })
}

fn target(target: &Target) -> Value {
    match target {
        Target::Pieces(count) => json!({"pieces": Figure::pieces(count.clone()).to_json()}),
        Target::NetMass(mass) => json!({"mass_g": Figure::grams(mass.clone()).to_json()}),
        Target::Factor(factor) => json!({"factor": Figure::factor(factor.clone()).to_json()}),
        Target::WrittenBatches(batches) => {
            json!({"batches": Figure::factor(batches.clone()).to_json()})
        }
        Target::OnHand { ingredient, mass } => {
            let mass_g = Figure::grams(mass.clone()).to_json();
            json!({"on_hand": {"ingredient": text(ingredient), "mass_g": mass_g}})
        }
    }
}

fn product(product: &Product) -> Value {
    json!({
        "recipe": text(&product.recipe),
        "target": target(&product.target),
        "net_g": product.net_g.to_json(),
        "pieces": product.pieces.as_ref().map(Figure::to_json),
    })
}

fn demand(demand: &Demand) -> Value {
    json!({"recipe": text(&demand.recipe), "target": target(&demand.target)})
}

fn total(total: &IngredientTotal) -> Value {
    json!({"ingredient": text(&total.ingredient), "mass_g": total.mass_g.to_json()})
}

fn component(component: &Component) -> Value {
    json!({
        "recipe": text(&component.recipe),
        "net_g": component.net_g.to_json(),
        "pieces": component.pieces.as_ref().map(Figure::to_json),
        "batches": component.batches,
        "factor": component.factor.to_json(),
        "input_g": component.input_g.to_json(),
        "lines": list(&component.lines, line),
        "trays": list(&component.trays, tray_loads),
        "warnings": list(&component.warnings, warning),
    })
}

fn tray_loads(loads: &TrayLoads) -> Value {
    let TrayLoads { equipment, pieces, oven } = loads;
    json!({
        "equipment": text(equipment),
        "pieces": pieces,
        "per_tray": oven.per_tray,
        "trays": oven.trays,
        "last_tray": oven.last_tray,
        "per_load": oven.per_load,
        "loads": oven.loads,
        "last_load": oven.last_load,
    })
}

fn line(line: &Line) -> Value {
    let (kind, id) = match &line.uses {
        Uses::Ingredient(id) => ("ingredient", text(id)),
        Uses::Component(id) => ("component", text(id)),
    };
    let mut object = Map::new();
    object.insert("line".to_owned(), line.number.into());
    object.insert(kind.to_owned(), id);
    object.insert("mass_g".to_owned(), line.mass_g.to_json());
    object.insert("per_batch_g".to_owned(), line.per_batch_g.to_json());
    let bakers_percent = line.bakers_percent.as_ref().map(Figure::to_json);
    object.insert("bakers_percent".to_owned(), bakers_percent.into());
    object.insert("weigh".to_owned(), line.weigh.as_ref().map_or(Value::Null, weighing));
    object.insert("hints".to_owned(), list(&line.hints, hint));
    object.into()
}

fn weighing(weighing: &Weighing) -> Value {
    json!({
        "scale": weighing.scale,
        "weighings": weighing.weighings,
        "reading_g": weighing.reading_g.to_json(),
        "error_percent": weighing.error_percent.to_json(),
        "flag": weighing.flag.map(chablon_arith::WeighFlag::code),
    })
}

/// What helps where a line can't be weighed as the standard asks.
fn hint(hint: &Hint) -> Value {
    let grams = |mass: &Exact| Figure::grams(mass.clone()).to_json();
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

fn warning(warning: &Warning) -> Value {
    json!({"code": warning.code, "line": warning.line, "text": warning.text})
}

fn ingredient_cost(cost: &IngredientCost) -> Value {
    json!({
        "ingredient": text(&cost.ingredient),
        "mass_g": cost.mass_g.to_json(),
        "purchased_g": cost.purchased_g.to_json(),
        "cost": cost.cost.as_ref().map(Figure::to_json),
        "price": cost.price.as_ref().map(price),
    })
}

fn price(price: &PriceUsed) -> Value {
    json!({
        "pack_g": price.pack_g.to_json(),
        "price": price.price.to_json(),
        "currency": text(&price.currency),
        "from": text(&price.from),
        "supplier": price.supplier.as_ref().map(text),
        "list": text(&price.list),
    })
}

fn order_line(line: &OrderLine) -> Value {
    json!({
        "ingredient": text(&line.ingredient),
        "packs": line.packs,
        "cost": line.cost.to_json(),
    })
}

pub(crate) fn basis(basis: &Basis) -> Value {
    let digests = basis.digests.iter().map(text).collect::<Value>();
    match &basis.replica {
        None => json!({"rules": basis.rules, "digests": digests}),
        Some(replica) => {
            let heard_at = replica.heard_at.map(|at| at.0);
            json!({"rules": basis.rules, "digests": digests, "replica": {"heard_at_ms": heard_at}})
        }
    }
}

pub(crate) fn caution(caution: &Caution) -> Value {
    json!({"code": caution.code(), "text": text(caution)})
}

pub(crate) fn laid(laid: &Laid) -> Value {
    json!({
        "deviation": text(&laid.id),
        "recipe": text(&laid.recipe),
        "departures": laid.departures,
        "until_ms": laid.until.0,
        "by": laid.by,
        "note": laid.note,
    })
}

pub(crate) fn text(value: &impl Display) -> Value {
    Value::from(value.to_string())
}

pub(crate) fn list<T>(items: &[T], each: impl Fn(&T) -> Value) -> Value {
    items.iter().map(each).collect()
}
