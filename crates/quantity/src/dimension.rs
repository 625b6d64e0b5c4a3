//! Dimension types of `uom` over exact storage, on the base units of the bench.
//!
//! The base units are gram, centimetre (so that a volume is in millilitres and a density in
//! grams per millilitre) and second. Only these base units are known to `uom` here; every other
//! unit passes through our own exact table in [`crate::unit`].

use uom::si;
use uom::si::{amount_of_substance, electric_current, length, luminous_intensity, mass};
use uom::si::{thermodynamic_temperature, time};

use crate::Exact;

impl uom::ConversionFactor<Exact> for Exact {
    fn powi(self, exponent: i32) -> Self {
        let magnitude = num_traits::pow(self, exponent.unsigned_abs() as usize);
        if exponent < 0 { Exact::from(1) / magnitude } else { magnitude }
    }
    fn value(self) -> Exact {
        self
    }
}

/// Needed by `uom` of every storage type; the value is its own factor.
impl uom::Conversion<Exact> for Exact {
    type T = Exact;
    fn constant(_: uom::ConstantOp) -> Exact {
        Exact::from(0)
    }
    fn conversion(&self) -> Exact {
        self.clone()
    }
}

/// Declares a base unit to `uom`: factor one, offset zero, exactly.
macro_rules! base_unit {
    ($($unit:path),+) => {$(
        impl uom::Conversion<Exact> for $unit {
            type T = Exact;
            fn constant(_: uom::ConstantOp) -> Exact {
                Exact::from(0)
            }
        }
    )+};
}
base_unit!(
    length::centimeter,
    mass::gram,
    time::second,
    electric_current::ampere,
    thermodynamic_temperature::kelvin,
    amount_of_substance::mole,
    luminous_intensity::candela
);

/// The base units that figures are held in: centimetre, gram, second, kelvin.
pub type System = dyn si::Units<
        Exact,
        length = length::centimeter,
        mass = mass::gram,
        time = time::second,
        electric_current = electric_current::ampere,
        thermodynamic_temperature = thermodynamic_temperature::kelvin,
        amount_of_substance = amount_of_substance::mole,
        luminous_intensity = luminous_intensity::candela,
    >;

/// A mass; see [`Grams`].
pub type Mass = si::mass::Mass<System, Exact>;
/// A volume; see [`Millilitres`].
pub type Volume = si::volume::Volume<System, Exact>;
/// A length; see [`Millimetres`].
pub type Length = si::length::Length<System, Exact>;
/// A time; see [`Seconds`].
pub type Time = si::time::Time<System, Exact>;
/// A density; see [`GramsPerMillilitre`].
pub type Density = si::mass_density::MassDensity<System, Exact>;

/// A way in and out of a dimension type by a unit's name.
macro_rules! named_unit {
    ($(#[$doc:meta])* $trait:ident, $quantity:ty, $of:ident, $read:ident) => {
        $(#[$doc])*
        pub trait $trait {
            /// The quantity of so many of this unit.
            fn $of(value: impl Into<Exact>) -> Self;
            /// How many of this unit the quantity is.
            fn $read(&self) -> Exact;
        }
        impl $trait for $quantity {
            fn $of(value: impl Into<Exact>) -> Self {
                Self {
                    dimension: std::marker::PhantomData,
                    units: std::marker::PhantomData,
                    value: value.into(),
                }
            }
            fn $read(&self) -> Exact {
                self.value.clone()
            }
        }
    };
}

named_unit!(
    /// A mass by grams.
    Grams, Mass, of_grams, grams
);
named_unit!(
    /// A volume by millilitres.
    Millilitres, Volume, of_millilitres, millilitres
);
named_unit!(
    /// A time by seconds.
    Seconds, Time, of_seconds, seconds
);
named_unit!(
    /// A density by grams per millilitre.
    GramsPerMillilitre, Density, of_grams_per_millilitre, grams_per_millilitre
);

/// A length by millimetres.
pub trait Millimetres {
    /// The length of so many millimetres.
    fn of_millimetres(value: impl Into<Exact>) -> Self;
    /// How many millimetres the length is.
    fn millimetres(&self) -> Exact;
}

impl Millimetres for Length {
    fn of_millimetres(value: impl Into<Exact>) -> Self {
        Self {
            dimension: std::marker::PhantomData,
            units: std::marker::PhantomData,
            value: value.into() / Exact::from(10),
        }
    }
    fn millimetres(&self) -> Exact {
        &self.value * &Exact::from(10)
    }
}
