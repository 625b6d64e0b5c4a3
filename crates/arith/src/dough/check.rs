//! Amounts and shares that mean something.

use chablon_quantity::{Density, Exact, Grams, GramsPerMillilitre, Mass, Share};

use super::DoughError;
use super::error::with_unit;
use crate::geometry::shown;

/// Nothing.
pub(super) fn zero() -> Exact {
    Exact::from(0)
}

/// The whole: 100 %.
pub(super) fn one() -> Exact {
    Exact::from(1)
}

/// A mass above 0.
pub(super) fn some_mass(what: &'static str, mass: &Mass) -> Result<(), DoughError> {
    if mass.grams() > zero() {
        return Ok(());
    }
    Err(DoughError::NotAboveZero { what, value: with_unit(&mass.grams(), "g") })
}

/// A mass that may be 0.
pub(super) fn mass(what: &'static str, mass: &Mass) -> Result<(), DoughError> {
    if mass.grams() >= zero() {
        return Ok(());
    }
    Err(DoughError::BelowZero { what, value: with_unit(&mass.grams(), "g") })
}

/// A density above 0.
pub(super) fn some_density(what: &'static str, density: &Density) -> Result<(), DoughError> {
    let value = density.grams_per_millilitre();
    if value > zero() {
        return Ok(());
    }
    Err(DoughError::NotAboveZero { what, value: with_unit(&value, "g/mL") })
}

/// A share that may be 0, and above the whole.
pub(super) fn share(what: &'static str, share: &Share) -> Result<(), DoughError> {
    if share.0 >= zero() {
        return Ok(());
    }
    Err(DoughError::BelowZero { what, value: shown::percent(&share.0) })
}

/// A part of a whole, from nothing to all of it.
pub(super) fn part(what: &'static str, share: &Share) -> Result<(), DoughError> {
    if share.0 >= zero() && share.0 <= one() {
        return Ok(());
    }
    let value = shown::percent(&share.0);
    Err(DoughError::NoSuch { what, value, low: "0 %".to_owned(), high: "100 %".to_owned() })
}
