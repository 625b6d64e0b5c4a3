//! Syrup and cooked sugar.

use chablon_arith::about;
use chablon_arith::dough::{
    self, Addition, Brix, HOT_SUGAR_CAUTION, Stage, boiling_point, boiling_strength,
    saturation_temperature, stage_at,
};
use chablon_quantity::{Grams, Length, Mass, Temperature};

use super::Reckoned;
use crate::Error;

/// The strength of sugar dissolved in water, and what a syrup so strong does.
///
/// # Errors
/// [`Error::is_not_computable`] where nothing is dissolved in nothing.
pub fn syrup_of(sugar: &Mass, water: &Mass) -> Result<Reckoned, Error> {
    Ok(syrup(&Brix::of(sugar, water)?))
}

/// What a syrup of a strength does: at what temperature it boils and below which it
/// crystallises. Of the two only what the published tables cover is said.
pub fn syrup(brix: &Brix) -> Reckoned {
    let mut about = vec![about::SYRUP_STRENGTH];
    let boiling = boiling_point(brix).ok();
    let saturated = saturation_temperature(brix).ok();
    about.extend(boiling.as_ref().map(|_| about::SYRUP_BOILING));
    about.extend(saturated.as_ref().map(|_| about::SYRUP_SATURATION));
    let mut reckoned = Reckoned::new("syrup", "Syrup", &about);
    reckoned = reckoned.brix("brix", "strength", brix.degrees().clone());
    if let Some(sugar) = brix.sugar_per_100_g_water() {
        reckoned = reckoned.grams("sugar_per_100_g_water", "sugar to 100 g of water", sugar);
    }
    if let Some(boiling) = boiling {
        reckoned = reckoned.temperature("boils", "boils at", &boiling.temperature);
    }
    if let Some(saturated) = saturated {
        reckoned = reckoned.temperature("saturated", "crystallises below", &saturated.temperature);
    }
    reckoned.caution(HOT_SUGAR_CAUTION)
}

/// How strong a syrup is that boils at a temperature, at sea level.
///
/// # Errors
/// [`Error::is_not_computable`] outside the published table.
pub fn boiling_at(temperature: &Temperature) -> Result<Reckoned, Error> {
    let boiling = boiling_strength(temperature)?;
    let reckoned = Reckoned::new("boiling-syrup", "Syrup that boils", &[about::SYRUP_BOILING]);
    Ok(reckoned.brix("brix", "strength", boiling.brix.degrees().clone()).caution(boiling.caution))
}

/// What brings a syrup to another strength: water or sugar to add.
///
/// # Errors
/// [`Error::is_not_computable`] where neither does.
pub fn bring_to(mass: &Mass, from: &Brix, to: &Brix) -> Result<Reckoned, Error> {
    let reckoned = Reckoned::new("bring-to", "Syrup brought to a strength", &[about::SYRUP_CHANGE]);
    let (reckoned, added) = match dough::bring_to(mass, from, to)? {
        Addition::Water(added) => {
            (reckoned.grams("add_water_g", "water to add", added.grams()), added)
        }
        Addition::Sugar(added) => {
            (reckoned.grams("add_sugar_g", "sugar to add", added.grams()), added)
        }
    };
    Ok(reckoned.grams("syrup_g", "syrup then", mass.grams() + added.grams()))
}

/// What leaves and what is left where a syrup is boiled down to a strength.
///
/// # Errors
/// [`Error::is_not_computable`] where boiling doesn't reach it.
pub fn boil_down(mass: &Mass, from: &Brix, to: &Brix) -> Result<Reckoned, Error> {
    let boiled = dough::boil_down(mass, from, to)?;
    let reckoned = Reckoned::new("boil-down", "Syrup boiled down", &[about::SYRUP_CHANGE])
        .grams("left_g", "left in the pan", boiled.left.grams())
        .grams("boiled_off_g", "water that leaves", boiled.water.grams());
    Ok(reckoned.caution(boiled.caution))
}

/// The stage of cooked sugar at a temperature and an altitude.
///
/// # Errors
/// [`Error::is_not_computable`] outside the published ranges.
pub fn stage(temperature: &Temperature, altitude: &Length) -> Result<Reckoned, Error> {
    let reading = stage_at(temperature, altitude)?;
    let mut reckoned = Reckoned::new("sugar-stage", "Cooked sugar", &[about::SUGAR_STAGES]);
    let names: Vec<&str> = reading.at.iter().map(|stage| stage.name()).collect();
    let at = if names.is_empty() { "between two stages".to_owned() } else { names.join(", ") };
    reckoned = reckoned.words("at", "stage", at);
    let neighbours =
        [("passed", "the last that is over", reading.passed), ("next", "the next", reading.next)];
    for (key, label, stage) in neighbours {
        let Some(stage) = stage else { continue };
        reckoned = reckoned.words(key, label, between(stage, altitude)?);
    }
    Ok(reckoned.caution(reading.caution))
}

/// A stage with its temperatures: `soft ball, 113 to 116 °C`.
fn between(stage: Stage, altitude: &Length) -> Result<String, Error> {
    let range = stage.range_at(altitude)?;
    let [from, to] = [range.from, range.to].map(|at| at.celsius().round(1));
    Ok(format!("{}, {from} to {to} °C", stage.name()))
}
