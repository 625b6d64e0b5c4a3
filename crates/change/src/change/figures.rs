//! Figures of finished pieces: allergens, content, label, cost.

use std::collections::BTreeSet;

use chablon_declare::DeclareError;
use chablon_declare::allergens::Cause;
use chablon_declare::content::Amount;
use chablon_model::{Allergen, AllergenState, IngredientId, Nutrient, SiteId};
use chablon_quantity::{Authored, Currency, Exact, MassUnit};

use crate::Pair;

/// Allergens of which a recipe has another state, all with the same states and causes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AllergenChange {
    /// The allergens, in the order of the codes. Never empty.
    pub allergens: Vec<Allergen>,
    /// Their state.
    pub state: Pair<AllergenState>,
    /// The ingredients whose own state is that one; none where it is free.
    pub because: Pair<Vec<Cause>>,
}

/// What can't be told of a finished piece, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NotTold {
    /// What.
    pub what: Told,
    /// Why, on the side on which it can't.
    pub why: Pair<Option<Box<DeclareError>>>,
}

/// What is told of a finished piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Told {
    /// Any figure at all: what it weighs, costs and contains.
    Anything,
    /// What 100 g hold.
    Content,
}

/// What an ingredient states of its content.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StatedContent {
    /// What it is of, by its key in a book.
    pub of: &'static str,
    /// Mass in 100 g.
    pub mass: Pair<Option<Authored<MassUnit>>>,
}

/// What is declared elsewhere of 100 g of a finished recipe.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DeclaredFigure {
    /// What it is of: a nutrient by its key in a book, or `energy`.
    pub of: &'static str,
    /// The figure with its unit, as it is written: `8.2 g`, `1215 kJ`.
    pub figure: Pair<Option<String>>,
}

/// What 100 g of a finished piece hold of a nutrient.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ContentFigure {
    /// The nutrient.
    pub nutrient: Nutrient,
    /// How much; a lower bound where something is missing.
    pub amount: Pair<Amount>,
}

/// A figure of a label that is shown otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LabelFigure {
    /// The row's key.
    pub key: &'static str,
    /// What the row is called, in English.
    pub name: &'static str,
    /// The figure as it is shown.
    pub shown: Pair<String>,
    /// The exact figure; a lower bound where something is missing.
    pub exact: Pair<Exact>,
    /// The ingredients that don't state what it is computed from.
    pub missing: Pair<BTreeSet<IngredientId>>,
}

/// The standard unit cost of a finished piece at a site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cost {
    /// The site.
    pub site: SiteId,
    /// The figure on each side.
    pub unit: Pair<UnitFigure>,
}

/// A standard unit cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnitFigure {
    /// Of what.
    pub of: CostUnit,
    /// How much; a lower bound where a price is missing.
    pub amount: Exact,
    /// In which currency.
    pub currency: Currency,
    /// Whether every price is known.
    pub complete: bool,
}

/// What a unit cost is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CostUnit {
    /// A piece.
    Piece,
    /// A net kilogram.
    Kilogram,
}

impl Cost {
    /// The part by which it rises, below 0 where it falls; nothing where the sides don't compare.
    pub fn rise(&self) -> Option<Exact> {
        let Pair { before, after } = &self.unit;
        let alike = before.of == after.of && before.currency == after.currency;
        let comparable = alike && before.complete && after.complete;
        let ratio = after.amount.checked_div(&before.amount).filter(|_| comparable)?;
        Some(ratio - Exact::from(1))
    }
}
