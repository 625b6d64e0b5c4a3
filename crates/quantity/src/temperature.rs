//! A temperature is a point, a temperature interval is a distance; the two don't mix.

use std::marker::PhantomData;
use std::ops::{Add, Sub};

use uom::si;

use crate::{Exact, System};

/// A temperature difference, in kelvin.
pub type TemperatureInterval = si::temperature_interval::TemperatureInterval<System, Exact>;

type Kelvin = si::thermodynamic_temperature::ThermodynamicTemperature<System, Exact>;

/// A temperature: a point on a scale.
///
/// `uom`'s own type allows `temperature * 2`, which has no meaning at the bench, so it is
/// wrapped: a temperature can be compared, moved by an interval, and subtracted from another.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Temperature(Kelvin);

/// 0 °C is 273.15 K by definition.
fn celsius_zero() -> Exact {
    Exact::ratio(27_315, 100).expect("a constant denominator")
}

impl Temperature {
    /// The temperature of so many degrees Celsius.
    pub fn of_celsius(degrees: impl Into<Exact>) -> Self {
        Self::of_kelvin(degrees.into() + celsius_zero())
    }

    /// The temperature of so many degrees Fahrenheit: °C = (°F - 32) x 5/9.
    pub fn of_fahrenheit(degrees: impl Into<Exact>) -> Self {
        Self::of_celsius((degrees.into() - Exact::from(32)) * five_ninths())
    }

    /// In degrees Celsius.
    pub fn celsius(&self) -> Exact {
        self.0.value.clone() - celsius_zero()
    }

    /// In degrees Fahrenheit.
    pub fn fahrenheit(&self) -> Exact {
        self.celsius() / five_ninths() + Exact::from(32)
    }

    fn of_kelvin(value: Exact) -> Self {
        Self(Kelvin { dimension: PhantomData, units: PhantomData, value })
    }
}

fn five_ninths() -> Exact {
    Exact::ratio(5, 9).expect("a constant denominator")
}

/// The interval of so many kelvin, which is as many degrees Celsius.
fn interval(value: Exact) -> TemperatureInterval {
    TemperatureInterval { dimension: PhantomData, units: PhantomData, value }
}

impl Sub for Temperature {
    type Output = TemperatureInterval;
    fn sub(self, other: Self) -> TemperatureInterval {
        interval(self.0.value - other.0.value)
    }
}

impl Add<TemperatureInterval> for Temperature {
    type Output = Self;
    fn add(self, by: TemperatureInterval) -> Self {
        Self::of_kelvin(self.0.value + by.value)
    }
}

impl Sub<TemperatureInterval> for Temperature {
    type Output = Self;
    fn sub(self, by: TemperatureInterval) -> Self {
        Self::of_kelvin(self.0.value - by.value)
    }
}
