//! Dough temperature and ice.

use chablon_arith::dough::{MeltingHeat, Mixing, friction_of, interval};
use chablon_quantity::{Authored, MassUnit, TemperatureInterval, TemperatureUnit, TimeUnit};
use chablon_sdk::Error;
use chablon_sdk::reckon::{self, Icing, Reckoned};
use clap::{Args, ValueEnum};

type Degrees = Authored<TemperatureUnit>;

/// What meets the water in the bowl.
#[derive(Debug, Args)]
struct Bowl {
    /// The flour: "21 °C", or "21 degC"
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    flour: Degrees,
    /// The room
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    room: Degrees,
    /// A preferment or sourdough, if there is one
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    preferment: Option<Degrees>,
}

impl Bowl {
    fn mixing(&self) -> Mixing {
        Mixing {
            flour: self.flour.quantity(),
            room: self.room.quantity(),
            preferment: self.preferment.as_ref().map(Authored::quantity),
        }
    }
}

/// The water temperature that brings a dough to its own
#[derive(Debug, Args)]
pub(super) struct Water {
    #[command(flatten)]
    bowl: Bowl,
    /// How warm the dough is to be
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    dough: Degrees,
    /// By how many degrees the mixer warms it; by the minute with --mixing
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    friction: Degrees,
    /// How long it is mixed: "8 min"
    #[arg(long, value_name = "TIME")]
    mixing: Option<Authored<TimeUnit>>,
}

impl Water {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        let friction = difference(&self.friction);
        let mixing = self.mixing.as_ref().map(Authored::quantity);
        let friction = mixing.map_or(friction.clone(), |time| friction_of(&friction, &time));
        reckon::dough_water(&self.bowl.mixing(), &self.dough.quantity(), &friction)
    }
}

/// A difference of so many degrees.
fn difference(degrees: &Degrees) -> TemperatureInterval {
    interval(degrees.number.exact(), degrees.unit)
}

/// By how many degrees a mixer warms a dough, from one that was measured
#[derive(Debug, Args)]
pub(super) struct Friction {
    #[command(flatten)]
    bowl: Bowl,
    /// How warm the dough came out
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    dough: Degrees,
    /// How warm the water was
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    water: Degrees,
}

impl Friction {
    pub(super) fn reckon(&self) -> Reckoned {
        let (dough, water) = (self.dough.quantity(), self.water.quantity());
        reckon::mixer_friction(&self.bowl.mixing(), &dough, &water)
    }
}

/// The ice that cools the dough's water
#[derive(Debug, Args)]
pub(super) struct Ice {
    /// The recipe's water
    #[arg(long, value_name = "MASS")]
    water: Authored<MassUnit>,
    /// How warm the tap's water is
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    tap: Degrees,
    /// How warm it is to be
    #[arg(long, value_name = "DEGREES", allow_hyphen_values = true)]
    wanted: Degrees,
    /// How much heat melting takes: the bakers' round 80 °C, or as measured
    #[arg(long, value_enum, default_value_t)]
    heat: Heat,
    /// Add the ice to all of the water, instead of in place of a part
    #[arg(long)]
    on_top: bool,
}

#[derive(Clone, Copy, Debug, Default, ValueEnum)]
enum Heat {
    #[default]
    Measured,
    Bakers,
}

impl Ice {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        let heat = match self.heat {
            Heat::Measured => MeltingHeat::Measured,
            Heat::Bakers => MeltingHeat::Bakers,
        };
        let icing = if self.on_top { Icing::OnTop } else { Icing::InPlace };
        let (tap, wanted) = (self.tap.quantity(), self.wanted.quantity());
        reckon::ice(&self.water.quantity(), (&tap, &wanted), heat, icing)
    }
}
