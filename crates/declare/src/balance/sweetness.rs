//! Sweetness against sucrose.

use std::collections::BTreeSet;

use chablon_model::IngredientId;
use chablon_quantity::Exact;

use super::{Dissolved, Solute};

/// As sweet as how many grams of sucrose, of 100 g.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sweetness {
    /// At least, whatever the sugars of unknown kind are.
    pub lowest: Exact,
    /// At most.
    pub highest: Exact,
    /// The ingredients that don't say which sugars theirs are.
    pub unknown_in: BTreeSet<IngredientId>,
    /// The ingredients that don't state their sugars, salt or water, so that the figures are too
    /// low.
    pub missing: BTreeSet<IngredientId>,
    /// What is in it without a published figure, and so not counted.
    pub not_counted: Vec<&'static str>,
    /// Where the figures are from.
    pub source: &'static str,
}

const SOURCE: &str = "sweetness of 10 % solutions, sucrose 1: Belitz, Grosch and Schieberle, Food \
    Chemistry, from memory; published figures differ by a fifth and more";

fn of_solute(solute: Solute) -> Option<Exact> {
    solute.figures().sweetness.map(|number| number.exact())
}

pub(super) fn of(dissolved: &Dissolved) -> Sweetness {
    let known = dissolved.known.iter();
    let known: Exact = known.filter_map(|(one, grams)| Some(of_solute(*one)? * grams)).sum();
    let kinds = Solute::SUGARS.iter().filter_map(|one| of_solute(*one));
    let unknown = &dissolved.unknown_sugars;
    let at = |kind: Option<Exact>| &known + unknown * kind.unwrap_or_else(|| Exact::from(0));
    let without = dissolved
        .known
        .iter()
        .filter(|(one, grams)| of_solute(**one).is_none() && grams.is_positive());
    let mut not_counted: Vec<&str> = without.map(|(one, _)| one.as_str()).collect();
    if dissolved.unknown_polyols.is_positive() {
        not_counted.push("polyols of unknown kind");
    }
    Sweetness {
        lowest: at(kinds.clone().min()),
        highest: at(kinds.max()),
        unknown_in: dissolved.unknown_in.clone(),
        missing: dissolved.missing.clone(),
        not_counted,
        source: SOURCE,
    }
}
