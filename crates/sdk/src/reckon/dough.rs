//! Dough temperature and ice.

use chablon_arith::about;
use chablon_arith::dough::{MeltingHeat, Mixing, ice_in_place, ice_on_top, interval_degrees};
use chablon_quantity::{Grams, Mass, Temperature, TemperatureInterval, TemperatureUnit};

use super::Reckoned;
use crate::Error;

/// The water temperature that brings a dough to its own.
///
/// # Errors
/// [`Error::is_not_computable`] where the water would be ice or steam.
pub fn dough_water(
    bowl: &Mixing,
    target: &Temperature,
    friction: &TemperatureInterval,
) -> Result<Reckoned, Error> {
    let water = bowl.water(target, friction)?;
    let reckoned = Reckoned::new("dough-water", "Water for the dough", &[about::DOUGH_WATER]);
    Ok(reckoned.temperature("water", "water", &water))
}

/// The friction of a mixer, from a dough that was measured.
pub fn mixer_friction(bowl: &Mixing, dough: &Temperature, water: &Temperature) -> Reckoned {
    let friction = bowl.friction(dough, water);
    let degrees = [TemperatureUnit::Celsius, TemperatureUnit::Fahrenheit]
        .map(|scale| interval_degrees(&friction, scale));
    Reckoned::new("mixer-friction", "Friction of the mixer", &[about::FRICTION]).degrees(
        "friction",
        "friction, as a difference",
        degrees,
    )
}

/// Where ice goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Icing {
    /// In place of a part of the water.
    InPlace,
    /// On top of all of the water.
    OnTop,
}

/// The ice that cools the dough's water.
///
/// # Errors
/// [`Error::is_not_computable`] for water that isn't liquid, or that would have to be warmed.
pub fn ice(
    water: &Mass,
    (tap, wanted): (&Temperature, &Temperature),
    heat: MeltingHeat,
    icing: Icing,
) -> Result<Reckoned, Error> {
    let iced = match icing {
        Icing::InPlace => ice_in_place(water, tap, wanted, heat)?,
        Icing::OnTop => ice_on_top(water, tap, wanted, heat)?,
    };
    let about = match heat {
        MeltingHeat::Bakers => about::ICE_BAKERS,
        MeltingHeat::Measured => about::ICE_MEASURED,
    };
    let reckoned = Reckoned::new("ice", "Ice for the water", &[about]);
    let reckoned = reckoned.grams("ice_g", "ice, at 0 °C", iced.ice.grams());
    Ok(reckoned.grams("water_g", "water from the tap", iced.water.grams()))
}
