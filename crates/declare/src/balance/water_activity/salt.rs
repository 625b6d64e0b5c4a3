//! Sodium chloride by its osmotic coefficient.
//!
//! Source: Robinson and Stokes, Electrolyte Solutions, osmotic coefficients at 25 °C, from memory;
//! the row of 6 mol/kg is printed in the manual of a water activity meter (1.271, aw 0.760).

use chablon_quantity::Exact;

use super::fixed;
use super::water_molar_mass;
use crate::number::dec;

/// Moles in a kilogram of water in tenths, and the coefficient in ten-thousandths.
const COEFFICIENTS: &[(i64, i64)] = &[
    (1, 9324),
    (2, 9245),
    (5, 9209),
    (10, 9355),
    (14, 9513),
    (18, 9723),
    (20, 9833),
    (25, 10136),
    (30, 10453),
    (35, 10797),
    (40, 11158),
    (50, 11916),
    (60, 12706),
];

/// Moles of salt in a kilogram of water, both in grams.
pub(super) fn molality(salt: &Exact, water: &Exact) -> Exact {
    salt / dec(58_443, -3).exact() * Exact::from(1000) / water
}

/// Water activity of so many moles of sodium chloride in a kilogram of water; nothing above 6.
pub fn sodium_chloride(molality: &Exact) -> Option<Exact> {
    let coefficient = coefficient(molality)?;
    // ln aw = -2 m phi Mw / 1000: two ions from each.
    let depression = Exact::from(2) * molality * coefficient * water_molar_mass();
    Some(fixed::exp_minus(&(depression / Exact::from(1000))))
}

/// The coefficient on the straight line between two rows; from 1 at none to the first row.
fn coefficient(molality: &Exact) -> Option<Exact> {
    let row = |(tenths, ten_thousandths): &(i64, i64)| {
        (dec(*tenths, -1).exact(), dec(*ten_thousandths, -4).exact())
    };
    let mut below = (Exact::from(0), Exact::from(1));
    for above in COEFFICIENTS.iter().map(row) {
        if *molality <= above.0 {
            let part = (molality - &below.0) / (&above.0 - &below.0);
            return Some(&below.1 + part * (&above.1 - &below.1));
        }
        below = above;
    }
    None
}
