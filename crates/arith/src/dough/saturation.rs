//! How much sugar water holds.

use chablon_quantity::Temperature;

use super::error::{outside_celsius, outside_strength};
use super::table::Table;
use super::{Brix, DoughError, HOT_SUGAR_CAUTION, sources};

/// Degrees Celsius, hundredths of a per cent of sucrose.
///
/// Source: sucrose solubility and saturated density by temperature, tabulated.
const SOLUBILITY: Table = Table {
    rows: &[
        (0, 6418),
        (10, 6558),
        (20, 6709),
        (25, 6789),
        (30, 6870),
        (40, 7042),
        (50, 7225),
        (60, 7418),
        (70, 7622),
        (80, 7836),
        (90, 8061),
        (100, 8287),
    ],
    left_scale: 1,
    right_scale: 100,
};

/// A saturated syrup: stronger, or cooler, and sugar crystallises.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Saturated {
    /// How warm it is.
    pub temperature: Temperature,
    /// How strong it is.
    pub brix: Brix,
    /// Where the table is published.
    pub source: &'static str,
    /// To be shown with the figures.
    pub caution: &'static str,
}

impl Saturated {
    fn new(temperature: Temperature, brix: Brix) -> Self {
        Self { temperature, brix, source: sources::SATURATION, caution: HOT_SUGAR_CAUTION }
    }
}

/// The strongest syrup of plain sucrose at a temperature: the published table, exactly linear
/// between two rows. From 0 to 100 °C.
pub fn saturation(temperature: &Temperature) -> Result<Saturated, DoughError> {
    let percent = SOLUBILITY.right_at(&temperature.celsius());
    let percent = percent.ok_or_else(|| {
        let range = SOLUBILITY.left_range();
        outside_celsius("syrup's temperature", temperature, range, sources::SATURATION)
    })?;
    Ok(Saturated::new(temperature.clone(), Brix::new(percent)?))
}

/// The temperature below which a syrup of plain sucrose crystallises: the inverse of
/// [`saturation`]. From 64.18 to 82.87 Brix.
pub fn saturation_temperature(brix: &Brix) -> Result<Saturated, DoughError> {
    let degrees = SOLUBILITY.left_at(brix.degrees());
    let degrees = degrees
        .ok_or_else(|| outside_strength(brix, &SOLUBILITY.right_range(), sources::SATURATION))?;
    Ok(Saturated::new(Temperature::of_celsius(degrees), brix.clone()))
}
