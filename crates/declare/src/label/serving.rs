//! A serving by a household measure, and how many a container holds.
//!
//! Source: 21 CFR 101.9(b)(5) and (b)(8), as in the FDA's guide to NLEA requirements, attachments 6
//! to 8. Measures are the label's own: a cup is 240 mL, a tablespoon 15 mL, a teaspoon 5 mL, a fluid
//! ounce 30 mL (101.9(b)(5)(viii)). The steps of grams are from memory.

use std::fmt;

use chablon_quantity::{Exact, Number, Rounded};

use super::rounding::{Band, Limit, Rounding, Shown, Shows};
use crate::number::dec;

const TWO: Number = Number::whole(2);
const FIVE: Number = Number::whole(5);
const HALF: Number = dec(5, -1);
const ONE: Number = Number::whole(1);

/// Grams of a serving: above 5 whole, from 2 to 5 halves, below 2 tenths.
const GRAMS: Rounding = Rounding {
    bands: &[
        Band { limit: Limit::Below(TWO), shows: Shows::Nearest(dec(1, -1)) },
        Band { limit: Limit::AtMost(FIVE), shows: Shows::Nearest(HALF) },
        Band { limit: Limit::Rest, shows: Shows::Nearest(ONE) },
    ],
};

/// Servings of a container: whole, but halves between 2 and 5.
const SERVINGS: Rounding = Rounding {
    bands: &[
        Band { limit: Limit::Below(TWO), shows: Shows::Nearest(ONE) },
        Band { limit: Limit::AtMost(FIVE), shows: Shows::Nearest(HALF) },
        Band { limit: Limit::Rest, shows: Shows::Nearest(ONE) },
    ],
};

/// A household measure of a label.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Measure {
    /// 240 mL.
    Cup,
    /// 15 mL.
    Tablespoon,
    /// 5 mL.
    Teaspoon,
    /// 30 mL.
    FluidOunce,
}

impl Measure {
    /// Millilitres of one, on a label.
    pub fn millilitres(self) -> i64 {
        match self {
            Self::Cup => 240,
            Self::Tablespoon => 15,
            Self::Teaspoon => 5,
            Self::FluidOunce => 30,
        }
    }

    /// Its abbreviation.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Cup => "cup",
            Self::Tablespoon => "tbsp",
            Self::Teaspoon => "tsp",
            Self::FluidOunce => "fl oz",
        }
    }
}

/// How a serving is told to a household.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Household {
    /// Pieces.
    Pieces(Number),
    /// A measure.
    Measure(Number, Measure),
}

/// A serving.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Serving {
    /// How it is told to a household.
    pub household: Household,
    /// Its mass, exactly.
    pub grams: Exact,
}

impl Serving {
    /// So many pieces of a net mass.
    pub fn pieces(count: Number, piece_grams: &Exact) -> Self {
        Self { grams: count.exact() * piece_grams, household: Household::Pieces(count) }
    }

    /// So many measures of something with a density in grams per millilitre.
    pub fn measure(count: Number, measure: Measure, density: &Exact) -> Self {
        let millilitres = count.exact() * Exact::from(measure.millilitres());
        Self { grams: millilitres * density, household: Household::Measure(count, measure) }
    }

    /// Its mass as a label shows it.
    pub fn grams_shown(&self) -> Rounded {
        GRAMS.shown(&self.grams).figure()
    }
}

impl fmt::Display for Serving {
    /// `1 piece (127 g)`, `1/2 cup (113 g)`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.household {
            Household::Pieces(count) if count.exact() == Exact::from(1) => {
                write!(f, "{count} piece")?;
            }
            Household::Pieces(count) => write!(f, "{count} pieces")?,
            Household::Measure(count, measure) => write!(f, "{count} {}", measure.as_str())?,
        }
        write!(f, " ({} g)", self.grams_shown())
    }
}

/// How many servings a container holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ServingCount {
    /// Exactly.
    pub exact: Exact,
    /// As a label shows it.
    pub shown: Rounded,
    /// Whether a label says "about".
    pub about: bool,
}

impl ServingCount {
    /// The servings of a net mass, or nothing where a serving has no mass.
    pub fn of(net_grams: &Exact, serving: &Serving) -> Option<Self> {
        let exact = net_grams.checked_div(&serving.grams)?;
        let shown = match SERVINGS.shown(&exact) {
            // A container never holds less than one.
            Shown::Figure(figure) if figure.exact().is_positive() => figure,
            _ => Rounded::from_units(1, 0),
        };
        Some(Self { about: shown.exact() != exact, shown, exact })
    }
}
