//! Sizes that mean something: above 0.

use chablon_quantity::{Density, Exact, Grams, GramsPerMillilitre, Length, Mass, Millimetres};

use super::{GeometryError, shown};

fn nothing() -> Exact {
    Exact::from(0)
}

/// A length above 0.
pub(super) fn length(what: &'static str, value: Length) -> Result<Length, GeometryError> {
    if value.millimetres() > nothing() {
        return Ok(value);
    }
    Err(GeometryError::NotAboveZero { what, value: shown::length(&value) })
}

/// A length that may be 0: a gap, an edge.
pub(super) fn gap(what: &'static str, value: Length) -> Result<Length, GeometryError> {
    if value.millimetres() >= nothing() {
        return Ok(value);
    }
    Err(GeometryError::BelowZero { what, value: shown::length(&value) })
}

/// A density above 0.
pub(super) fn density(value: &Density) -> Result<Density, GeometryError> {
    let number = value.grams_per_millilitre();
    if number > nothing() {
        return Ok(value.clone());
    }
    let value = format!("{} g/mL", shown::number(&number));
    Err(GeometryError::NotAboveZero { what: "density", value })
}

/// A mass above 0.
pub(super) fn mass(value: &Mass) -> Result<Mass, GeometryError> {
    if value.grams() > nothing() {
        return Ok(value.clone());
    }
    let value = format!("{} g", shown::number(&value.grams()));
    Err(GeometryError::NotAboveZero { what: "mass", value })
}
