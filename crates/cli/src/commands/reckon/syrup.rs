//! Syrup and cooked sugar.

use chablon_arith::dough::Brix;
use chablon_quantity::{
    Authored, Length, LengthUnit, MassUnit, Millimetres, Number, TemperatureUnit,
};
use chablon_sdk::Error;
use chablon_sdk::reckon::{self, Reckoned};
use clap::Args;

/// The strength of a syrup, what it boils at and where it crystallises
#[derive(Debug, Args)]
#[group(required = true)]
pub(super) struct Syrup {
    /// Its strength in degrees Brix
    #[arg(long, value_name = "BRIX", value_parser = parse_brix, conflicts_with_all = ["sugar", "boils_at"])]
    brix: Option<Brix>,
    /// Or the sugar in it
    #[arg(long, value_name = "MASS", requires = "water", conflicts_with = "boils_at")]
    sugar: Option<Authored<MassUnit>>,
    /// And the water
    #[arg(long, value_name = "MASS", requires = "sugar")]
    water: Option<Authored<MassUnit>>,
    /// Or the temperature at which it boils, at sea level
    #[arg(long, value_name = "DEGREES")]
    boils_at: Option<Authored<TemperatureUnit>>,
}

impl Syrup {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        if let Some(temperature) = &self.boils_at {
            return reckon::boiling_at(&temperature.quantity());
        }
        if let Some((sugar, water)) = self.sugar.as_ref().zip(self.water.as_ref()) {
            return reckon::syrup_of(&sugar.quantity(), &water.quantity());
        }
        Ok(reckon::syrup(self.brix.as_ref().expect("the parser asks for one of the three")))
    }
}

/// A syrup and two strengths.
#[derive(Debug, Args)]
struct Change {
    /// The syrup at hand
    #[arg(long, value_name = "MASS")]
    syrup: Authored<MassUnit>,
    /// Its strength in degrees Brix
    #[arg(long, value_name = "BRIX", value_parser = parse_brix)]
    from: Brix,
    /// The strength that is wanted
    #[arg(long, value_name = "BRIX", value_parser = parse_brix)]
    to: Brix,
}

/// The water or the sugar that brings a syrup to a strength
#[derive(Debug, Args)]
pub(super) struct BringTo {
    #[command(flatten)]
    change: Change,
}

impl BringTo {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        let Change { syrup, from, to } = &self.change;
        reckon::bring_to(&syrup.quantity(), from, to)
    }
}

/// What is left in the pan where a syrup is boiled down to a strength
#[derive(Debug, Args)]
pub(super) struct BoilDown {
    #[command(flatten)]
    change: Change,
}

impl BoilDown {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        let Change { syrup, from, to } = &self.change;
        reckon::boil_down(&syrup.quantity(), from, to)
    }
}

/// The stage of cooked sugar at a temperature
#[derive(Debug, Args)]
pub(super) struct Sugar {
    /// How hot it is
    #[arg(long, value_name = "DEGREES")]
    at: Authored<TemperatureUnit>,
    /// How high the kitchen lies above the sea: "800 m"; at the sea if not given
    #[arg(long, value_name = "LENGTH")]
    altitude: Option<Authored<LengthUnit>>,
}

impl Sugar {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        let sea = || Length::of_millimetres(0);
        let altitude = self.altitude.as_ref().map_or_else(sea, Authored::quantity);
        reckon::stage(&self.at.quantity(), &altitude)
    }
}

fn parse_brix(text: &str) -> Result<Brix, String> {
    let number: Number =
        text.parse().map_err(|error: chablon_quantity::NumberError| error.to_string())?;
    Brix::new(number.exact()).map_err(|error| error.to_string())
}
