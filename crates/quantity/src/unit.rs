//! The units an author may write, with exact factors by legal definition.
//!
//! The definitions: pound, ounce, inch, US gallon of 231 cubic inches and its parts, and the
//! imperial gallon of 4.54609 L stand in NIST Handbook 44, Appendix C, and identically in the
//! Unified Code for Units of Measure (UCUM essence 2.2, 2024-06-17), which
//! `tests/units.rs` checks each of them against.

use crate::{
    Density, Exact, Grams, GramsPerMillilitre, Length, Mass, Millilitres, Millimetres, Number,
    Seconds, Temperature, Time, Volume,
};

/// A unit of one dimension.
pub trait Unit: Copy + Eq + std::fmt::Debug + Sized + 'static {
    /// What a number of this unit is: a mass, a volume.
    type Quantity: Clone + PartialEq;
    /// What the dimension is called in a message: `a mass`.
    const DIMENSION: &'static str;
    /// Every unit, in the order in which a message lists them.
    fn all() -> Vec<Self>;
    /// How the unit is written.
    fn symbol(&self) -> String;
    /// Other ways to write it.
    fn aliases(&self) -> &'static [&'static str] {
        &[]
    }
    /// The quantity of this many units.
    fn quantity(&self, number: &Number) -> Self::Quantity;
    /// Whether a number below 0 has a meaning.
    fn allows_negative() -> bool {
        false
    }
    /// The unit written so.
    fn from_symbol(text: &str) -> Option<Self> {
        Self::all().into_iter().find(|unit| unit.symbol() == text || unit.aliases().contains(&text))
    }
}

/// Declares a unit enumeration: variant, symbol, exact factor to the base as `n / d`.
macro_rules! units {
    ($(#[$doc:meta])* $name:ident, $quantity:ty, $dimension:literal, $of:ident,
     $($(#[$vdoc:meta])* $variant:ident $symbol:literal = $n:literal / $d:literal;)+) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name {
            $($(#[$vdoc])* $variant,)+
        }

        impl $name {
            /// How many of the base unit one of this unit is, exactly.
            pub fn factor(self) -> Exact {
                let (n, d) = match self {
                    $(Self::$variant => ($n, $d),)+
                };
                Exact::ratio(n, d).expect("a constant denominator")
            }
        }

        impl Unit for $name {
            type Quantity = $quantity;
            const DIMENSION: &'static str = $dimension;
            fn all() -> Vec<Self> {
                vec![$(Self::$variant),+]
            }
            fn symbol(&self) -> String {
                match self {
                    $(Self::$variant => $symbol,)+
                }
                .to_owned()
            }
            fn quantity(&self, number: &Number) -> $quantity {
                <$quantity>::$of(number.exact() * self.factor())
            }
        }
    };
}

units!(
    /// Units of mass; the base is the gram.
    MassUnit, Mass, "a mass", of_grams,
    /// Milligram.
    Milligram "mg" = 1 / 1000;
    /// Gram.
    Gram "g" = 1 / 1;
    /// Kilogram.
    Kilogram "kg" = 1000 / 1;
    /// Avoirdupois ounce: a sixteenth of a pound.
    Ounce "oz" = 45_359_237 / 1_600_000;
    /// Avoirdupois pound: 0.45359237 kg.
    Pound "lb" = 45_359_237 / 100_000;
);

units!(
    /// Units of volume; the base is the millilitre. Unmarked customary units are those of the US.
    VolumeUnit, Volume, "a volume", of_millilitres,
    /// Millilitre.
    Millilitre "mL" = 1 / 1;
    /// Centilitre.
    Centilitre "cL" = 10 / 1;
    /// Decilitre.
    Decilitre "dL" = 100 / 1;
    /// Litre.
    Litre "L" = 1000 / 1;
    /// US teaspoon: 1/768 gallon.
    Teaspoon "tsp" = 157_725_491 / 32_000_000;
    /// US tablespoon: 1/256 gallon.
    Tablespoon "tbsp" = 473_176_473 / 32_000_000;
    /// US fluid ounce: 1/128 gallon.
    FluidOunce "floz" = 473_176_473 / 16_000_000;
    /// US cup: 1/16 gallon.
    Cup "cup" = 473_176_473 / 2_000_000;
    /// US liquid pint: 1/8 gallon.
    Pint "pt" = 473_176_473 / 1_000_000;
    /// US liquid quart: 1/4 gallon.
    Quart "qt" = 473_176_473 / 500_000;
    /// US gallon: 231 cubic inches.
    Gallon "gal" = 473_176_473 / 125_000;
    /// Imperial fluid ounce: 1/160 gallon.
    ImperialFluidOunce "imp-floz" = 454_609 / 16_000;
    /// Imperial pint: 1/8 gallon.
    ImperialPint "imp-pt" = 454_609 / 800;
    /// Imperial gallon: 4.54609 L.
    ImperialGallon "imp-gal" = 454_609 / 100;
);

units!(
    /// Units of length; the base is the millimetre.
    LengthUnit, Length, "a length", of_millimetres,
    /// Millimetre.
    Millimetre "mm" = 1 / 1;
    /// Centimetre.
    Centimetre "cm" = 10 / 1;
    /// Metre.
    Metre "m" = 1000 / 1;
    /// Inch: 25.4 mm.
    Inch "in" = 127 / 5;
);

units!(
    /// Units of time; the base is the second.
    TimeUnit, Time, "a time", of_seconds,
    /// Second.
    Second "s" = 1 / 1;
    /// Minute.
    Minute "min" = 60 / 1;
    /// Hour.
    Hour "h" = 3600 / 1;
    /// Day of 24 hours.
    Day "d" = 86_400 / 1;
);

/// Units of temperature.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum TemperatureUnit {
    /// Degree Celsius.
    Celsius,
    /// Degree Fahrenheit.
    Fahrenheit,
}

impl Unit for TemperatureUnit {
    type Quantity = Temperature;
    const DIMENSION: &'static str = "a temperature";
    fn all() -> Vec<Self> {
        vec![Self::Celsius, Self::Fahrenheit]
    }
    fn symbol(&self) -> String {
        match self {
            Self::Celsius => "°C",
            Self::Fahrenheit => "°F",
        }
        .to_owned()
    }
    fn aliases(&self) -> &'static [&'static str] {
        match self {
            Self::Celsius => &["degC"],
            Self::Fahrenheit => &["degF"],
        }
    }
    fn quantity(&self, number: &Number) -> Temperature {
        match self {
            Self::Celsius => Temperature::of_celsius(number.exact()),
            Self::Fahrenheit => Temperature::of_fahrenheit(number.exact()),
        }
    }
    fn allows_negative() -> bool {
        true
    }
}

/// A unit of density: a mass unit over a volume unit, as in `g/mL`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct DensityUnit {
    /// What stands above the stroke.
    pub mass: MassUnit,
    /// What stands below it.
    pub volume: VolumeUnit,
}

impl Unit for DensityUnit {
    type Quantity = Density;
    const DIMENSION: &'static str = "a density";
    fn all() -> Vec<Self> {
        MassUnit::all()
            .into_iter()
            .flat_map(|mass| VolumeUnit::all().into_iter().map(move |volume| Self { mass, volume }))
            .collect()
    }
    fn symbol(&self) -> String {
        format!("{}/{}", self.mass.symbol(), self.volume.symbol())
    }
    fn quantity(&self, number: &Number) -> Density {
        let factor = self.mass.factor() / self.volume.factor();
        Density::of_grams_per_millilitre(number.exact() * factor)
    }
}

/// A part of a whole: 5 % is 1/20.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Share(
    /// The part as a number: 1 is the whole.
    pub Exact,
);

/// The unit of shares.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ShareUnit;

impl Unit for ShareUnit {
    type Quantity = Share;
    const DIMENSION: &'static str = "a share";
    fn all() -> Vec<Self> {
        vec![Self]
    }
    fn symbol(&self) -> String {
        "%".to_owned()
    }
    fn quantity(&self, number: &Number) -> Share {
        Share(number.exact() / Exact::from(100))
    }
}

/// A number of pieces, which need not be whole.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pieces(
    /// How many.
    pub Exact,
);

/// The unit of counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct CountUnit;

impl Unit for CountUnit {
    type Quantity = Pieces;
    const DIMENSION: &'static str = "a count";
    fn all() -> Vec<Self> {
        vec![Self]
    }
    fn symbol(&self) -> String {
        "pieces".to_owned()
    }
    fn aliases(&self) -> &'static [&'static str] {
        &["piece"]
    }
    fn quantity(&self, number: &Number) -> Pieces {
        Pieces(number.exact())
    }
}
