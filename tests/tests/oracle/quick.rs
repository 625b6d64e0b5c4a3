//! The figures that floats decide, held to the oracle's digits.

use std::collections::BTreeMap;

use chablon_sdk::arith::{
    Demand, Explosion, IngredientIndex, PriceBook, Target, explode, recost, standard_costs,
};
use chablon_sdk::model::Day;
use chablon_sdk::quantity::{Exact, Rounded};
use serde_json::Value;

use crate::case::{Kitchen, demand};

/// Rounded figures by ingredient, those of nothing left out.
type Column = BTreeMap<String, String>;

impl Kitchen<'_> {
    /// Compares what the quick paths say to a case; returns how many figures were equal.
    pub(crate) fn hold_quick(
        &self,
        case: &Value,
        place: &str,
        differences: &mut Vec<String>,
    ) -> u64 {
        if case.get("products").is_some() {
            return 0;
        }
        let mut quick = Quick { place, differences, equal: 0 };
        let demand = demand(case);
        if let Some(demand) = searched(case, &demand) {
            quick.columns("masses", &column(case, "mass_g"), &self.masses(case, &demand));
        }
        if let Some((prices, day)) = self.prices(case) {
            self.hold_costs(&mut quick, case, &demand, &prices, day);
            self.hold_units(&mut quick, case, &demand, &prices, day);
        }
        quick.equal
    }

    fn masses(&self, case: &Value, demand: &Demand) -> Column {
        let kit = self.kit(case);
        let masses = explode(&self.compiled, demand, kit.as_ref()).expect("it has a plan");
        self.named(masses.into_iter())
    }

    fn named(&self, figures: impl Iterator<Item = (IngredientIndex, Rounded)>) -> Column {
        let named = figures.map(|(index, figure)| {
            let ingredient = &self.compiled.ingredients()[index.0];
            (ingredient.id.to_string(), figure.to_string())
        });
        named.filter(|(_, figure)| !is_nothing(figure)).collect()
    }

    /// The net mass that is asked for, where it follows from the written batch alone.
    fn net(&self, demand: &Demand) -> Option<Exact> {
        let recipe = self.compiled.recipe(self.compiled.find_recipe(&demand.recipe)?);
        match &demand.target {
            Target::Pieces(count) => recipe.piece_mass.as_ref().map(|each| count * each),
            Target::NetMass(mass) => Some(mass.clone()),
            Target::Factor(times) => Some(times * &recipe.net),
            // Written batches bound a batch, and what is on hand is searched for.
            Target::WrittenBatches(_) | Target::OnHand { .. } => None,
        }
    }

    fn hold_costs(
        &self,
        quick: &mut Quick<'_>,
        case: &Value,
        demand: &Demand,
        prices: &PriceBook<'_>,
        day: Day,
    ) {
        let Some(net) = self.net(demand) else { return };
        let (kit, recipe) = (self.kit(case), self.compiled.find_recipe(&demand.recipe));
        let roots: Vec<_> = recipe.into_iter().collect();
        let explosion = Explosion::new(&self.compiled, &roots, kit.as_ref());
        let explosion = explosion.expect("it has a plan");
        let gram = |index: IngredientIndex| {
            let quote = prices.quote(&self.compiled, index, day).ok()?;
            Some(quote.per_gram() / &self.compiled.ingredient(index).edible_yield)
        };
        let costs = explosion.gram_costs(prices.currency(), gram);
        let food = explosion.food_cost(&[net], &costs).expect("it has a cost");
        let ingredients = || explosion.ingredients().iter().copied();
        quick.columns(
            "costs",
            &column(case, "cost"),
            &self.named(ingredients().zip(food.costs.iter())),
        );
        quick.figure("food", &case["expect"]["food"], &food.food.to_string());
    }

    /// The standard unit cost: exactly, and as a recost has it.
    fn hold_units(
        &self,
        quick: &mut Quick<'_>,
        case: &Value,
        demand: &Demand,
        prices: &PriceBook<'_>,
        day: Day,
    ) {
        let expected = &case["standard_unit_cost"];
        let index = self.compiled.find_recipe(&demand.recipe).expect("it has a plan");
        let exact = standard_costs(&self.compiled, prices, day)[index.0].clone().expect("a cost");
        let rounded = recost(&self.compiled, prices, day).unit_cost(index).expect("a cost");
        let (exact_food, food) = match expected["per"].as_str() {
            Some("piece") => (exact.per_piece, rounded.per_piece),
            _ => (Some(exact.per_gram), Some(rounded.per_gram)),
        };
        let shown = |figure: Option<Rounded>| figure.map(|one| one.to_string()).unwrap_or_default();
        quick.figure("unit cost", &expected["food"], &shown(food));
        let exact_food = exact_food.map(|one| one.to_string()).unwrap_or_default();
        quick.same("exact unit cost", &expected["food"]["exact"], &exact_food.into());
        quick.same("completeness", &expected["complete"], &rounded.complete.into());
    }
}

/// The demand, as the net mass that the search for it found: searching is what takes time, and it
/// is compared already. A cost doesn't say the mass.
fn searched(case: &Value, demand: &Demand) -> Option<Demand> {
    if !matches!(demand.target, Target::OnHand { .. }) {
        return Some(demand.clone());
    }
    let net = case["expect"]["components"].as_array()?.last()?["net_g"]["exact"].as_str()?;
    let net: Exact = net.parse().expect("a figure");
    Some(Demand::new(demand.recipe.clone(), Target::NetMass(net)))
}

/// The oracle's rounded figures of a column, those of nothing left out.
fn column(case: &Value, key: &str) -> Column {
    let rows = case["expect"]["ingredients"].as_array().expect("ingredients");
    let figures = rows.iter().filter_map(|row| {
        let figure = row[key]["rounded"].as_str()?.to_owned();
        Some((row["ingredient"].as_str()?.to_owned(), figure))
    });
    figures.filter(|(_, figure)| !is_nothing(figure)).collect()
}

fn is_nothing(figure: &str) -> bool {
    figure.bytes().all(|digit| matches!(digit, b'0' | b'.'))
}

/// A comparison of quick figures.
struct Quick<'a> {
    place: &'a str,
    differences: &'a mut Vec<String>,
    equal: u64,
}

impl Quick<'_> {
    fn columns(&mut self, what: &str, expected: &Column, found: &Column) {
        if expected == found {
            self.equal += u64::try_from(expected.len()).expect("a few figures");
        } else {
            let place = self.place;
            let difference = format!("{place}: quick {what}: {expected:?} expected, {found:?}");
            self.differences.push(difference);
        }
    }

    fn figure(&mut self, what: &str, expected: &Value, found: &str) {
        self.same(what, &expected["rounded"], &found.into());
    }

    fn same(&mut self, what: &str, expected: &Value, found: &Value) {
        if expected == found {
            self.equal += 1;
        } else {
            let place = self.place;
            self.differences.push(format!("{place}: quick {what}: {expected} expected, {found}"));
        }
    }
}
