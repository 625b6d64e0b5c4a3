//! How far an analysis may lie from a declared figure.
//!
//! Source: European Commission, guidance document on tolerances for nutrient values declared on a
//! label (December 2012), table 1; the figures are from memory. There is none for energy, polyols
//! and alcohol.

use chablon_model::Nutrient;
use chablon_quantity::{Exact, Number};

use super::Limit;
use crate::number::{dec, ratio};

/// A band of declared figures and how far an analysis may be off.
#[derive(Debug)]
pub struct Tolerance {
    /// Declared grams per 100 g up to here.
    pub limit: Limit,
    /// How far.
    pub off: Off,
}

/// How far off.
#[derive(Clone, Copy, Debug)]
pub enum Off {
    /// Grams.
    Grams(Number),
    /// Per cent of the declared figure.
    Percent(i64),
}

const TEN: Number = Number::whole(10);
const FORTY: Number = Number::whole(40);
const MIDDLE: Tolerance = Tolerance { limit: Limit::AtMost(FORTY), off: Off::Percent(20) };
const LARGE: Tolerance = Tolerance { limit: Limit::Rest, off: Off::Grams(Number::whole(8)) };

/// Carbohydrate, sugars, protein, fibre.
const MACRO: &[Tolerance] =
    &[Tolerance { limit: Limit::Below(TEN), off: Off::Grams(Number::whole(2)) }, MIDDLE, LARGE];
const FAT: &[Tolerance] =
    &[Tolerance { limit: Limit::Below(TEN), off: Off::Grams(dec(15, -1)) }, MIDDLE, LARGE];
const SATURATES: &[Tolerance] = &[
    Tolerance { limit: Limit::Below(Number::whole(4)), off: Off::Grams(dec(8, -1)) },
    Tolerance { limit: Limit::Rest, off: Off::Percent(20) },
];
const SALT: &[Tolerance] = &[
    Tolerance { limit: Limit::Below(dec(125, -2)), off: Off::Grams(dec(375, -3)) },
    Tolerance { limit: Limit::Rest, off: Off::Percent(20) },
];

/// The tolerance of a nutrient, if there is one.
pub fn of(nutrient: Nutrient) -> Option<&'static [Tolerance]> {
    match nutrient {
        Nutrient::Carbohydrate | Nutrient::Sugars | Nutrient::Fibre | Nutrient::Protein => {
            Some(MACRO)
        }
        Nutrient::Fat => Some(FAT),
        Nutrient::Saturates => Some(SATURATES),
        Nutrient::Salt => Some(SALT),
        Nutrient::Water | Nutrient::Polyols | Nutrient::Alcohol => None,
    }
}

/// From and to which figure an analysis is within tolerance of a declared one.
pub fn range(bands: &[Tolerance], declared: &Exact) -> (Exact, Exact) {
    let band = bands.iter().find(|band| band.limit.holds(declared));
    let off = match band.map(|band| band.off) {
        Some(Off::Grams(grams)) => grams.exact(),
        Some(Off::Percent(percent)) => declared * ratio(percent, 100),
        None => Exact::from(0),
    };
    ((declared - &off).max(Exact::from(0)), declared + off)
}
