//! What is declared elsewhere beside what is computed.
//!
//! - A computed figure agrees where it comes to the declared one when it is rounded to as many
//!   decimals as are written, or as a European label rounds it.
//! - Else it is within tolerance or outside it, by the European guidance on nutrients; there is no
//!   tolerance for energy, water, polyols and alcohol, of which a difference is all that is said.
//! - A figure that misses something is a lower bound and decides nothing.

use std::collections::BTreeSet;
use std::fmt;

use chablon_model::{DeclaredContent, Ingredient, IngredientId, LabelRegime, Nutrient};
use chablon_quantity::{Exact, Grams, Number};

use super::{Amount, Composition};
use crate::label::tolerance::{self, Tolerance};
use crate::label::{LabelBasis, Row, Shown, label};

/// A figure as it is declared and as it is computed, both of 100 g.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// What it is of: a nutrient by its key in a book, `energy_kj` or `energy_kcal`.
    pub key: &'static str,
    /// Its unit: `g`, `kJ` or `kcal`.
    pub unit: &'static str,
    /// As declared.
    pub declared: Exact,
    /// As computed; a lower bound where something is missing.
    pub computed: Exact,
    /// The ingredients that don't state what it is computed from.
    pub missing: BTreeSet<IngredientId>,
    /// Declared less computed.
    pub difference: Exact,
    /// From and to which figure an analysis is within the published tolerance of the declared one.
    pub tolerance: Option<(Exact, Exact)>,
    /// What comes of it.
    pub verdict: Verdict,
}

/// What comes of a comparison.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// The same, as far as it is written.
    Agrees,
    /// Another figure, within the published tolerance.
    Within,
    /// Another figure, for which no tolerance is published.
    Differs,
    /// Beyond the published tolerance.
    Outside,
    /// It can't be told: the computed figure misses something.
    Open,
}

impl Verdict {
    /// A short name that stays the same when the wording changes.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Agrees => "agrees",
            Self::Within => "within-tolerance",
            Self::Differs => "differs",
            Self::Outside => "outside-tolerance",
            Self::Open => "open",
        }
    }
}

impl Difference {
    /// Whether someone should look at it.
    pub fn is_to_be_looked_at(&self) -> bool {
        matches!(self.verdict, Verdict::Differs | Verdict::Outside)
    }
}

impl fmt::Display for Difference {
    /// `fat 12 g declared, 9.1 g computed`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (key, unit) = (self.key, self.unit);
        let name = if unit == "g" { key } else { "energy" };
        let (declared, computed) = (self.declared.round(3), self.computed.round(3));
        write!(f, "{name} {declared} {unit} declared, {computed} {unit} computed")
    }
}

/// Holds what is declared, such as by an analysis, to what is computed: energy before nutrients.
pub fn compare(declared: &DeclaredContent, computed: &Composition) -> Vec<Difference> {
    let computed = computed.of_mass(&Exact::from(100));
    let shown = label(&computed, LabelRegime::Eu, LabelBasis::Per100G);
    let energies = [("energy_kj", declared.energy_kj), ("energy_kcal", declared.energy_kcal)];
    let energies = energies.into_iter().filter_map(|(key, number)| {
        let row = shown.rows.iter().find(|row| row.key == key)?;
        let found =
            Found { grams: row.exact.clone(), missing: row.missing.clone(), row: Some(row) };
        Some(found.held_to(key, row.unit, &Written { number: number?, unit: Exact::from(1) }, None))
    });
    let nutrients = declared.content.0.iter().map(|(nutrient, mass)| {
        let Amount { grams, missing } = computed.amount(*nutrient).clone();
        let row = shown.rows.iter().find(|row| row.key == nutrient.as_str());
        let written = Written { number: mass.number, unit: mass.unit.factor() };
        let bands = tolerance::of(*nutrient);
        Found { grams, missing, row }.held_to(nutrient.as_str(), "g", &written, bands)
    });
    energies.chain(nutrients).collect()
}

/// Holds what a compound ingredient states to what it is made of; nothing where that isn't known
/// to the last gram.
pub(crate) fn of_compound<'a>(
    compound: &Ingredient,
    find: impl Fn(&IngredientId) -> Option<&'a Ingredient>,
) -> Vec<Difference> {
    let shares: Option<Vec<(Exact, &Ingredient)>> = (compound.made_of.iter())
        .map(|part| Some((part.amount.as_ref()?.quantity().0, find(&part.ingredient)?)))
        .collect();
    let whole = |shares: &Vec<(Exact, &Ingredient)>| {
        shares.iter().map(|(share, _)| share).sum::<Exact>() == Exact::from(1)
    };
    let Some(shares) = shares.filter(whole) else { return Vec::new() };
    let amounts = Nutrient::ALL.iter().map(|nutrient| (*nutrient, mixed(&shares, *nutrient)));
    let (of_grams, to_taste) = (Exact::from(100), BTreeSet::new());
    let mixed = Composition { of_grams, amounts: amounts.collect(), to_taste };
    let content = compound.content.clone();
    compare(&DeclaredContent { content, ..DeclaredContent::default() }, &mixed)
}

/// What 100 g of a mix of ingredients hold of a nutrient.
fn mixed(shares: &[(Exact, &Ingredient)], nutrient: Nutrient) -> Amount {
    let (mut grams, mut missing) = (Exact::from(0), BTreeSet::new());
    for (share, ingredient) in shares {
        match ingredient.content.0.get(&nutrient) {
            Some(mass) => grams = grams + share * mass.quantity().grams(),
            None => {
                missing.insert(ingredient.id.clone());
            }
        }
    }
    Amount { grams, missing }
}

/// A computed figure, with its row of a European label where there is one.
struct Found<'a> {
    grams: Exact,
    missing: BTreeSet<IngredientId>,
    row: Option<&'a Row>,
}

/// A figure as it is written, and what its unit is in the comparison's.
struct Written {
    number: Number,
    unit: Exact,
}

impl Written {
    fn exact(&self) -> Exact {
        self.number.exact() * &self.unit
    }

    /// Whether a figure comes to this one when it is rounded to as many decimals.
    fn is(&self, found: &Exact) -> bool {
        let Number::Decimal { exponent, .. } = self.number else { return *found == self.exact() };
        let decimals = u32::from(exponent.min(0).unsigned_abs());
        (found / &self.unit).round(decimals).exact() == self.number.exact()
    }
}

impl Found<'_> {
    fn held_to(
        self,
        key: &'static str,
        unit: &'static str,
        written: &Written,
        bands: Option<&[Tolerance]>,
    ) -> Difference {
        let declared = written.exact();
        let tolerance = bands.map(|bands| tolerance::range(bands, &declared));
        Difference {
            verdict: self.verdict(written, tolerance.as_ref()),
            difference: &declared - &self.grams,
            computed: self.grams,
            missing: self.missing,
            key,
            unit,
            declared,
            tolerance,
        }
    }

    fn verdict(&self, written: &Written, tolerance: Option<&(Exact, Exact)>) -> Verdict {
        if !self.missing.is_empty() {
            return Verdict::Open;
        }
        if written.is(&self.grams) || self.row.is_some_and(|row| shows(row, &written.exact())) {
            return Verdict::Agrees;
        }
        match tolerance {
            None => Verdict::Differs,
            Some((low, high)) if self.grams >= *low && self.grams <= *high => Verdict::Within,
            Some(_) => Verdict::Outside,
        }
    }
}

/// Whether a label may show its row as this figure. What is below a limit may be shown as 0 too.
fn shows(row: &Row, declared: &Exact) -> bool {
    match &row.shown {
        Shown::Below(limit) => *declared == Exact::from(0) || *declared == limit.exact(),
        shown => shown.figure().exact() == *declared,
    }
}
