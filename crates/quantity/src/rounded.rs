//! The one rounding: half away from zero, once, when a figure is shown.

use std::fmt;

use num_bigint::BigInt;
use num_integer::Integer;
use num_traits::{Signed, ToPrimitive};

use crate::Exact;

/// A figure for people: a decimal with a fixed number of decimals, half rounded away from zero.
///
/// Shown with all its decimals: `2.500`.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Rounded {
    units: Units,
    decimals: u32,
}

/// The figure in units of the last decimal; one that fits is always held small.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
enum Units {
    Small(i64),
    Large(Box<BigInt>),
}

impl Rounded {
    /// Rounds a number to this many decimals.
    pub fn of(value: &Exact, decimals: u32) -> Self {
        let (numerator, denominator) = value.big_parts();
        let scaled = numerator.abs() * BigInt::from(10).pow(decimals) * 2u8 + &denominator;
        // floor(|x| + 1/2), written over the doubled denominator so that it stays integral.
        let magnitude = scaled.div_floor(&(denominator * 2u8));
        let units = if numerator.is_negative() { -magnitude } else { magnitude };
        Self::from_units(units, decimals)
    }

    /// A figure from its units of the last decimal: `(2500, 3)` is 2.500.
    pub fn from_units(units: impl Into<BigInt>, decimals: u32) -> Self {
        let units = units.into();
        let units = units.to_i64().map_or_else(|| Units::Large(Box::new(units)), Units::Small);
        Self { units, decimals }
    }

    /// A figure from units that are known to be few; otherwise as [`Rounded::from_units`].
    pub const fn from_small(units: i64, decimals: u32) -> Self {
        Self { units: Units::Small(units), decimals }
    }

    /// The figure in units of its last decimal.
    pub fn units(&self) -> BigInt {
        match &self.units {
            Units::Small(units) => BigInt::from(*units),
            Units::Large(units) => (**units).clone(),
        }
    }

    /// How many decimals are shown.
    pub fn decimals(&self) -> u32 {
        self.decimals
    }

    /// The rounded figure as a number to compute with, where a rule says so (a scale's reading).
    pub fn exact(&self) -> Exact {
        let denominator = BigInt::from(10).pow(self.decimals);
        Exact::big_ratio(self.units(), denominator).expect("a power of ten is not zero")
    }
}

impl fmt::Display for Rounded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let units = self.units();
        let digits = units.magnitude().to_string();
        let places = self.decimals as usize;
        let padded = format!("{digits:0>width$}", width = places + 1);
        let (whole, fraction) = padded.split_at(padded.len() - places);
        let text = if places == 0 { whole.to_owned() } else { format!("{whole}.{fraction}") };
        f.pad_integral(!units.is_negative(), "", &text)
    }
}
