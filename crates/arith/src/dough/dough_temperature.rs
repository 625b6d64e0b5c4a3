//! The water temperature that brings a dough to its own.

use chablon_quantity::{Exact, Temperature, TemperatureInterval, TemperatureUnit, Time};

use super::DoughError;
use super::interval::degrees;
use crate::geometry::shown;

/// What meets the water in the bowl.
#[derive(Clone, Debug, PartialEq)]
pub struct Mixing {
    /// The flour.
    pub flour: Temperature,
    /// The room.
    pub room: Temperature,
    /// A preferment or sourdough, where the dough has one.
    pub preferment: Option<Temperature>,
}

impl Mixing {
    fn temperatures(&self) -> impl Iterator<Item = &Temperature> {
        [&self.flour, &self.room].into_iter().chain(&self.preferment)
    }

    /// How many temperatures the bowl averages, the water among them: 3, or 4 with a preferment.
    /// It is the method's multiplier.
    pub fn factors(&self) -> u8 {
        if self.preferment.is_some() { 4 } else { 3 }
    }

    /// The target times [`Mixing::factors`], in degrees of a scale: the sum that flour, room,
    /// water, friction and preferment make up.
    ///
    /// Of all figures of the method only this one depends on the scale.
    pub fn total(&self, target: &Temperature, scale: TemperatureUnit) -> Exact {
        Exact::from(self.factors()) * degrees(target, scale)
    }

    /// The water temperature for a dough: target x 3 - flour - room - friction; with a preferment
    /// target x 4, less the preferment too.
    ///
    /// The published method sums degrees of one scale. Its sum is kept here as
    /// target + (target - flour) + (target - room) [+ (target - preferment)] - friction, the same
    /// figure written in differences. As the multiplier is one more than the temperatures taken
    /// off, the two scales' different zeros cancel, so that degrees Celsius and Fahrenheit give
    /// the same temperature exactly.
    ///
    /// Sources: worked examples in Pizza Today, June 2018, and in quoted course notes on the base
    /// temperature (where the preferment is added). They state no range; water must be liquid,
    /// so an outcome outside 0 to 100 °C is refused.
    pub fn water(
        &self,
        target: &Temperature,
        friction: &TemperatureInterval,
    ) -> Result<Temperature, DoughError> {
        let start = target.clone() - friction.clone();
        let water =
            self.temperatures().fold(start, |sum, met| sum + (target.clone() - met.clone()));
        liquid(water)
    }

    /// The friction factor of a mixer from a dough that was measured: dough x 3 - flour - room -
    /// water, or dough x 4, less the preferment too. The inverse of [`Mixing::water`].
    ///
    /// Below 0 the bowl took more heat than the mixing gave.
    pub fn friction(&self, dough: &Temperature, water: &Temperature) -> TemperatureInterval {
        let start = dough.clone() - water.clone();
        self.temperatures().fold(start, |sum, met| sum + (dough.clone() - met.clone()))
    }
}

/// The friction factor of a mixing time where a mixer's is known by the minute.
///
/// Source: total temperature factor example (8 minutes at 2 degrees Fahrenheit).
pub fn friction_of(per_minute: &TemperatureInterval, mixing: &Time) -> TemperatureInterval {
    per_minute.clone() * (mixing.value.clone() / Exact::from(60))
}

fn liquid(water: Temperature) -> Result<Temperature, DoughError> {
    let mend = if water < Temperature::of_celsius(0) {
        "cool the flour, the room or the preferment, or mix less"
    } else if water > Temperature::of_celsius(100) {
        "warm the flour, the room or the preferment, or check the target"
    } else {
        return Ok(water);
    };
    Err(DoughError::NoSuchWater { water: shown::temperature(&water), mend })
}
