//! Label figures by regime: exact, and rounded as the regime asks.
//!
//! A regime is data: a [`Regime`] with its rows, roundings and factors, in a module of its own. What
//! is common to all is how a row is read off a composition and rounded.

mod eu;
mod rounding;
mod serving;
pub mod tolerance;
mod us;

use std::collections::BTreeSet;
use std::fmt;

use chablon_model::{IngredientId, LabelRegime, Nutrient};
use chablon_quantity::{Exact, Number};

use crate::caution;
use crate::content::{Composition, Energy, energy};

pub use rounding::{Band, Limit, Rounding, Shown, Shows};
pub use serving::{Household, Measure, Serving, ServingCount};

/// A regime as data.
#[derive(Debug)]
pub struct Regime {
    /// Its name in a book.
    pub regime: LabelRegime,
    /// Where it is laid down.
    pub source: &'static str,
    /// Its rows, in its order.
    pub rows: &'static [RowRule],
    /// How it says that a figure is below another.
    pub below: &'static str,
    /// What it asks for that a book states no content of.
    pub not_known: &'static [&'static str],
    /// What else to know.
    pub notes: &'static [&'static str],
}

/// One row of a regime.
#[derive(Debug)]
pub struct RowRule {
    /// A key that doesn't change.
    pub key: &'static str,
    /// What it is called, by language; the first is English.
    pub names: &'static [(&'static str, &'static str)],
    /// The figure.
    pub value: Value,
    /// Its unit.
    pub unit: &'static str,
    /// How it is rounded.
    pub rounding: &'static Rounding,
    /// The nutrient whose published tolerance holds for it.
    pub tolerance: Option<Nutrient>,
    /// Whether it must be there.
    pub mandatory: bool,
    /// Whether it is part of the row above it.
    pub of_which: bool,
}

/// What a row shows.
#[derive(Debug)]
pub enum Value {
    /// Kilojoules.
    Kilojoules,
    /// Kilocalories.
    Kilocalories,
    /// The sum of nutrients in grams, each times a number.
    Nutrients(&'static [(Nutrient, Number)]),
}

/// What the figures of a label are of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LabelBasis {
    /// 100 g.
    Per100G,
    /// A serving.
    Serving(Serving),
}

/// The figures of a label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Label {
    /// The regime.
    pub regime: LabelRegime,
    /// What the figures are of.
    pub basis: LabelBasis,
    /// The rows, in the regime's order.
    pub rows: Vec<Row>,
    /// What the regime asks for that a book states no content of.
    pub not_known: &'static [&'static str],
    /// What else to know.
    pub notes: &'static [&'static str],
    /// Where the rules are laid down.
    pub source: &'static str,
    /// What every label says of itself.
    pub cautions: Vec<&'static str>,
}

/// One figure of a label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Row {
    /// A key that doesn't change.
    pub key: &'static str,
    /// What it is called, by language; the first is English.
    pub names: &'static [(&'static str, &'static str)],
    /// The exact figure; a lower bound where something is missing.
    pub exact: Exact,
    /// The figure as it is shown.
    pub shown: Shown,
    /// How the regime says that a figure is below another.
    pub below: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// From and to which figure an analysis is within the published tolerance of the shown one.
    pub tolerance: Option<(Exact, Exact)>,
    /// The ingredients that don't state what it is computed from. A row that misses something is
    /// no label figure.
    pub missing: BTreeSet<IngredientId>,
    /// Whether the regime asks for it.
    pub mandatory: bool,
    /// Whether it is part of the row above it.
    pub of_which: bool,
}

impl Row {
    /// What it is called in a language, else in English.
    pub fn name(&self, language: &str) -> &'static str {
        let wanted = self.names.iter().find(|(code, _)| *code == language);
        wanted.or(self.names.first()).map_or(self.key, |(_, name)| name)
    }
}

impl fmt::Display for Row {
    /// `8.8 g`, `<0.5 g`, `less than 1 g`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let below = if matches!(self.shown, Shown::Below(_)) { self.below } else { "" };
        write!(f, "{below}{} {}", self.shown.figure(), self.unit)
    }
}

impl Label {
    /// Whether no mandatory figure misses anything.
    pub fn is_complete(&self) -> bool {
        self.rows.iter().all(|row| row.missing.is_empty() || !row.mandatory)
    }
}

/// The data of a regime.
pub fn regime(regime: LabelRegime) -> &'static Regime {
    match regime {
        LabelRegime::Eu => &eu::REGIME,
        LabelRegime::Us => &us::REGIME,
    }
}

/// The label of a finished recipe under a regime, of 100 g or of a serving.
pub fn label(of: &Composition, under: LabelRegime, basis: LabelBasis) -> Label {
    let grams = match &basis {
        LabelBasis::Per100G => Exact::from(100),
        LabelBasis::Serving(serving) => serving.grams.clone(),
    };
    let of = of.of_mass(&grams);
    let energy = energy(&of, under);
    let rules = regime(under);
    Label {
        regime: under,
        basis,
        rows: rules.rows.iter().map(|rule| row(rule, rules, &of, &energy)).collect(),
        not_known: rules.not_known,
        notes: rules.notes,
        source: rules.source,
        cautions: vec![caution::DECLARED],
    }
}

fn row(rule: &RowRule, regime: &Regime, of: &Composition, energy: &Energy) -> Row {
    let (exact, missing) = rule.value.of(of, energy);
    let shown = rule.rounding.shown(&exact);
    let tolerance = rule.tolerance.and_then(tolerance::of);
    Row {
        key: rule.key,
        names: rule.names,
        tolerance: tolerance.map(|bands| tolerance::range(bands, &shown.figure().exact())),
        shown,
        exact,
        below: regime.below,
        unit: rule.unit,
        missing,
        mandatory: rule.mandatory,
        of_which: rule.of_which,
    }
}

impl Value {
    fn of(&self, of: &Composition, energy: &Energy) -> (Exact, BTreeSet<IngredientId>) {
        let none = || Exact::from(0);
        match self {
            Self::Kilojoules => (energy.kj.clone().unwrap_or_else(none), energy.missing.clone()),
            Self::Kilocalories => (energy.kcal.clone(), energy.missing.clone()),
            Self::Nutrients(terms) => {
                let amounts = terms.iter().map(|(nutrient, times)| (of.amount(*nutrient), times));
                let missing =
                    amounts.clone().flat_map(|(amount, _)| amount.missing.iter().cloned());
                let exact = amounts.clone().map(|(amount, times)| &amount.grams * times.exact());
                (exact.sum(), missing.collect())
            }
        }
    }
}
