//! One figure.

use std::fmt;

use chablon_quantity::{Currency, Exact, Rounded};

/// Decimals of a mass in grams, a volume in millilitres, a length in millimetres.
const MASS: u32 = 3;
/// Decimals of degrees of temperature.
const DEGREES: u32 = 2;
/// Decimals of a density.
const DENSITY: u32 = 4;
/// Decimals of a number of pieces.
const PIECES: u32 = 3;
/// Decimals of a factor, which is far from a whole number more often than not.
const FACTOR: u32 = 6;
/// Decimals of a percentage.
const PERCENT: u32 = 2;
/// Decimals of what one piece or one kilogram costs.
const UNIT_COST: u32 = 4;

/// A number, exact, with the decimals to which it is rounded once when it is shown.
///
/// Shown as its rounded form: `312.500`.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Figure {
    exact: Exact,
    decimals: u32,
}

impl Figure {
    /// Grams: three decimals.
    pub fn grams(exact: Exact) -> Self {
        Self { exact, decimals: MASS }
    }

    /// Pieces: three decimals.
    pub fn pieces(exact: Exact) -> Self {
        Self { exact, decimals: PIECES }
    }

    /// A factor: six decimals.
    pub fn factor(exact: Exact) -> Self {
        Self { exact, decimals: FACTOR }
    }

    /// Percent: two decimals.
    pub fn percent(exact: Exact) -> Self {
        Self { exact, decimals: PERCENT }
    }

    /// Degrees of temperature: two decimals.
    pub fn degrees(exact: Exact) -> Self {
        Self { exact, decimals: DEGREES }
    }

    /// Millilitres: three decimals.
    pub fn millilitres(exact: Exact) -> Self {
        Self { exact, decimals: MASS }
    }

    /// Millimetres: three decimals.
    pub fn millimetres(exact: Exact) -> Self {
        Self { exact, decimals: MASS }
    }

    /// Grams per millilitre: four decimals.
    pub fn density(exact: Exact) -> Self {
        Self { exact, decimals: DENSITY }
    }

    /// A total in a currency: its smallest unit.
    pub fn total(exact: Exact, currency: Currency) -> Self {
        Self { exact, decimals: currency.minor_decimals() }
    }

    /// What one of something costs: four decimals.
    pub fn unit_cost(exact: Exact) -> Self {
        Self { exact, decimals: UNIT_COST }
    }

    /// A number shown with so many decimals.
    #[cfg(feature = "json")]
    pub(crate) fn new(exact: Exact, decimals: u32) -> Self {
        Self { exact, decimals }
    }

    /// The exact number.
    pub fn exact(&self) -> &Exact {
        &self.exact
    }

    /// The number for people, half rounded away from zero.
    pub fn rounded(&self) -> Rounded {
        self.exact.round(self.decimals)
    }
}

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(&self.rounded(), f)
    }
}
