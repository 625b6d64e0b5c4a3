//! Temperature differences in degrees of either scale.

use chablon_quantity::{Exact, Temperature, TemperatureInterval, TemperatureUnit};

/// The temperature at so many degrees of a scale.
pub(super) fn at(degrees: impl Into<Exact>, scale: TemperatureUnit) -> Temperature {
    match scale {
        TemperatureUnit::Celsius => Temperature::of_celsius(degrees),
        TemperatureUnit::Fahrenheit => Temperature::of_fahrenheit(degrees),
    }
}

/// The difference of so many degrees: 9 degrees Fahrenheit are 5 degrees Celsius.
pub fn interval(degrees: impl Into<Exact>, scale: TemperatureUnit) -> TemperatureInterval {
    at(degrees, scale) - at(0, scale)
}

/// A difference in degrees of a scale; the inverse of [`interval`].
pub fn interval_degrees(difference: &TemperatureInterval, scale: TemperatureUnit) -> Exact {
    degrees(&(at(0, scale) + difference.clone()), scale)
}

/// A temperature in degrees of a scale.
pub(super) fn degrees(temperature: &Temperature, scale: TemperatureUnit) -> Exact {
    match scale {
        TemperatureUnit::Celsius => temperature.celsius(),
        TemperatureUnit::Fahrenheit => temperature.fahrenheit(),
    }
}
