//! At what temperature a syrup boils, and what strength a boiling syrup has.

use chablon_quantity::Temperature;

use super::error::{outside_celsius, outside_strength};
use super::table::Table;
use super::{Brix, DoughError, HOT_SUGAR_CAUTION, sources};

/// Per cent of sucrose, tenths of a degree Celsius.
///
/// Source: boiling point elevation of sucrose solutions (Brown 1912), tabulated; sea level.
const BROWN: Table = Table {
    rows: &[
        (50, 1020),
        (52, 1021),
        (54, 1023),
        (56, 1024),
        (58, 1027),
        (60, 1030),
        (62, 1034),
        (64, 1040),
        (66, 1048),
        (68, 1056),
        (70, 1065),
        (72, 1074),
        (74, 1084),
        (76, 1094),
        (78, 1106),
        (80, 1120),
        (82, 1139),
        (84, 1163),
        (86, 1193),
        (88, 1231),
        (90, 1278),
    ],
    left_scale: 1,
    right_scale: 10,
};

/// A boiling syrup.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Boiling {
    /// How strong it is.
    pub brix: Brix,
    /// How hot it is, at sea level.
    pub temperature: Temperature,
    /// Where the table is published.
    pub source: &'static str,
    /// To be shown with the figures.
    pub caution: &'static str,
}

impl Boiling {
    fn new(brix: Brix, temperature: Temperature) -> Self {
        Self { brix, temperature, source: sources::BOILING, caution: HOT_SUGAR_CAUTION }
    }
}

/// At what temperature a syrup of plain sucrose boils at sea level: the table of Brown (1912),
/// exactly linear between two rows. From 50 to 90 Brix.
pub fn boiling_point(brix: &Brix) -> Result<Boiling, DoughError> {
    let degrees = BROWN.right_at(brix.degrees());
    let degrees =
        degrees.ok_or_else(|| outside_strength(brix, &BROWN.left_range(), sources::BOILING))?;
    Ok(Boiling::new(brix.clone(), Temperature::of_celsius(degrees)))
}

/// How strong a syrup of plain sucrose is that boils at a temperature at sea level: the inverse
/// of [`boiling_point`]. From 102.0 to 127.8 °C.
pub fn boiling_strength(temperature: &Temperature) -> Result<Boiling, DoughError> {
    let percent = BROWN.left_at(&temperature.celsius());
    let percent = percent.ok_or_else(|| {
        outside_celsius("boiling point", temperature, BROWN.right_range(), sources::BOILING)
    })?;
    Ok(Boiling::new(Brix::new(percent)?, temperature.clone()))
}
