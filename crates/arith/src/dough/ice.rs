//! Ice that cools the dough's water, by the balance of heat.

use chablon_quantity::{Exact, Mass, Temperature};

use super::{DoughError, check};
use crate::geometry::shown;

/// How much heat melting takes, as the degrees by which the same mass of water would be warmed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MeltingHeat {
    /// 80 degrees Celsius, which is 144 degrees Fahrenheit: the bakers' round figure.
    ///
    /// Source: professional baking texts, from memory. In their formula it stands as
    /// tap + 80 in °C and as tap + 112 (144 less 32) in °F.
    Bakers,
    /// 334.6 kJ/kg over 4.186 kJ/(kg K), which is 79.933 degrees.
    ///
    /// Source: "A simple calculation (ice)", article with a worked example.
    Measured,
}

impl MeltingHeat {
    /// The heat in degrees Celsius of water.
    pub fn degrees(self) -> Exact {
        let (heat, capacity) = match self {
            Self::Bakers => (80, 1),
            Self::Measured => (334_600, 4_186),
        };
        Exact::ratio(heat, capacity).expect("a constant denominator")
    }
}

/// Ice, and the liquid water beside it.
#[derive(Clone, Debug, PartialEq)]
pub struct IcedWater {
    /// The ice, at 0 °C. Ice straight from a freezer is colder, and less of it would do.
    pub ice: Mass,
    /// The water from the tap.
    pub water: Mass,
}

/// Ice in place of water: the two together weigh what the recipe's water does.
///
/// ice = water x (tap - wanted) / (tap + melting heat), in °C. It is the balance
/// ice x (melting heat + wanted) = (water - ice) x (tap - wanted), solved for the ice.
///
/// Holds for liquid water: 0 °C up to the tap's temperature, and that up to 100 °C.
pub fn ice_in_place(
    water: &Mass,
    tap: &Temperature,
    wanted: &Temperature,
    heat: MeltingHeat,
) -> Result<IcedWater, DoughError> {
    let taken = cooling(water, tap, wanted)?;
    let ice = water.clone() * (taken / (tap.celsius() + heat.degrees()));
    Ok(IcedWater { water: water.clone() - ice.clone(), ice })
}

/// Ice on top of the water, which then weighs more than before.
///
/// ice = water x (tap - wanted) / (wanted + melting heat), in °C: the same balance with the
/// whole of the water from the tap. Same range.
pub fn ice_on_top(
    water: &Mass,
    tap: &Temperature,
    wanted: &Temperature,
    heat: MeltingHeat,
) -> Result<IcedWater, DoughError> {
    let taken = cooling(water, tap, wanted)?;
    let ice = water.clone() * (taken / (wanted.celsius() + heat.degrees()));
    Ok(IcedWater { water: water.clone(), ice })
}

/// By how many degrees the water is cooled.
fn cooling(water: &Mass, tap: &Temperature, wanted: &Temperature) -> Result<Exact, DoughError> {
    check::mass("water", water)?;
    liquid("tap water", tap)?;
    liquid("wanted water", wanted)?;
    if wanted > tap {
        let (tap, wanted) = (shown::temperature(tap), shown::temperature(wanted));
        return Err(DoughError::WarmerThanTap { tap, wanted });
    }
    Ok(tap.celsius() - wanted.celsius())
}

fn liquid(what: &'static str, water: &Temperature) -> Result<(), DoughError> {
    let (low, high) = (Temperature::of_celsius(0), Temperature::of_celsius(100));
    if (&low..=&high).contains(&water) {
        return Ok(());
    }
    let [value, low, high] = [water, &low, &high].map(shown::temperature);
    Err(DoughError::NoSuch { what, value, low, high })
}
