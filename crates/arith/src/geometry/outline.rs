//! Flat shapes: what is cut from a sheet, piped or spread.

use std::fmt;
use std::ops::Mul;

use chablon_quantity::{Density, Exact, Length, Mass, Millimetres, Volume};

use super::{GeometryError, pi, shown, size};

/// An area.
pub type Area = <Length as Mul<Length>>::Output;

/// A flat shape with straight sides all round, seen from above.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline(Form);

#[derive(Clone, Debug, PartialEq)]
pub(super) enum Form {
    Disc { diameter: Length },
    Ring { outer: Length, inner: Length },
    Rectangle { length: Length, width: Length },
}

impl Outline {
    /// A disc.
    pub fn disc(diameter: Length) -> Result<Self, GeometryError> {
        Ok(Self(Form::Disc { diameter: size::length("diameter", diameter)? }))
    }

    /// A flat ring: a disc with a round hole in its middle.
    pub fn ring(outer: Length, inner: Length) -> Result<Self, GeometryError> {
        let outer = size::length("outer diameter", outer)?;
        let inner = size::length("inner diameter", inner)?;
        if inner >= outer {
            let (outer, inner) = (shown::length(&outer), shown::length(&inner));
            return Err(GeometryError::HoleTooLarge { outer, inner });
        }
        Ok(Self(Form::Ring { outer, inner }))
    }

    /// A rectangle: a sheet, a strip, a square, a plaque.
    pub fn rectangle(length: Length, width: Length) -> Result<Self, GeometryError> {
        let length = size::length("length", length)?;
        let width = size::length("width", width)?;
        Ok(Self(Form::Rectangle { length, width }))
    }

    /// The strip that goes once round the inside of a round frame: pi x diameter long, without
    /// an overlap.
    pub fn strip_around(diameter: Length, width: Length) -> Result<Self, GeometryError> {
        let diameter = size::length("diameter", diameter)?;
        Self::rectangle(diameter * pi(), width)
    }

    pub(super) fn form(&self) -> &Form {
        &self.0
    }

    /// The area: pi/4 x diameter², the difference of two such, or length x width.
    pub fn area(&self) -> Area {
        match &self.0 {
            Form::Disc { diameter } => disc_area(diameter),
            Form::Ring { outer, inner } => disc_area(outer) - disc_area(inner),
            Form::Rectangle { length, width } => length.clone() * width.clone(),
        }
    }

    /// The volume at a thickness.
    pub fn volume(&self, thickness: &Length) -> Result<Volume, GeometryError> {
        Ok(self.area() * size::length("thickness", thickness.clone())?)
    }

    /// What it weighs at a thickness.
    pub fn mass(&self, thickness: &Length, density: &Density) -> Result<Mass, GeometryError> {
        Ok(self.volume(thickness)? * size::density(density)?)
    }

    /// How thick a mass of it comes out: mass / (density x area). The inverse of
    /// [`Outline::mass`].
    pub fn thickness(&self, mass: &Mass, density: &Density) -> Result<Length, GeometryError> {
        Ok(size::mass(mass)? / size::density(density)? / self.area())
    }
}

/// pi/4 x diameter².
pub(super) fn disc_area(diameter: &Length) -> Area {
    diameter.clone() * diameter.clone() * (pi() / Exact::from(4))
}

impl fmt::Display for Outline {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.0 {
            Form::Disc { diameter } => write!(f, "a disc of {}", shown::length(diameter)),
            Form::Ring { outer, inner } => {
                write!(f, "a ring of {} round {}", shown::length(outer), shown::length(inner))
            }
            Form::Rectangle { length, width } => f.write_str(&rectangle(length, width)),
        }
    }
}

/// A rectangle for people.
pub(super) fn rectangle(length: &Length, width: &Length) -> String {
    format!("{} x {} mm", shown::number(&length.millimetres()), shown::number(&width.millimetres()))
}
