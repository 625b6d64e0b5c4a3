//! Dough, set, air and syrup: the small sums of the bench, each with its source and its range.
//!
//! - A dough's temperature: [`Mixing`] gives the water's temperature or a mixer's friction,
//!   [`ice_in_place`] and [`ice_on_top`] the ice that makes it.
//! - Set: [`exchange_gelatine`] by a [`BloomRule`] that the caller names, [`SheetGrade`].
//! - Air: [`overrun`] and back.
//! - Syrup: [`Brix`], [`mix`], [`bring_to`], [`boil_down`], [`boiling_point`],
//!   [`boiling_strength`], [`saturation`], [`stage_at`].
//! - Formulas: [`percentages`], [`weights_for_total`], [`hydration`], [`blend`], [`EggSize`].
//!
//! What comes of a published table or rule is computed within its published range alone; outside
//! it there is an error that names the range and never an extrapolation. What is a balance of mass
//! or a definition holds wherever it has a meaning. Between the rows of a table a figure lies on
//! the straight line between its two neighbours, exactly.
//!
//! Results that are about hot sugar carry [`HOT_SUGAR_CAUTION`].
//!
//! ```
//! use chablon_arith::dough::{Mixing, interval};
//! use chablon_quantity::{Temperature, TemperatureUnit};
//!
//! let bowl = Mixing {
//!     flour: Temperature::of_celsius(21),
//!     room: Temperature::of_celsius(23),
//!     preferment: None,
//! };
//! let friction = interval(12, TemperatureUnit::Celsius);
//! let water = bowl.water(&Temperature::of_celsius(25), &friction)?;
//! assert_eq!(water, Temperature::of_celsius(19));
//! # Ok::<(), chablon_arith::dough::DoughError>(())
//! ```

mod bakers;
mod blend;
mod boiling;
mod brix;
mod check;
mod dough_temperature;
mod eggs;
mod error;
mod gelatine;
mod ice;
mod interval;
mod overrun;
mod root;
mod saturation;
pub(crate) mod sources;
mod stages;
mod table;

pub use bakers::{
    FormulaLine, Percentages, Weights, WetLine, hydration, percentages, weights_for_base,
    weights_for_total,
};
pub use blend::{Blend, blend};
pub use boiling::{Boiling, boiling_point, boiling_strength};
pub use brix::{Addition, BoiledDown, Brix, boil_down, bring_to, mix};
pub use dough_temperature::{Mixing, friction_of};
pub use eggs::{EggClass, EggPart, EggSize};
pub use error::DoughError;
pub use gelatine::{Bloom, BloomRule, Exchanged, SheetGrade, exchange_gelatine};
pub use ice::{IcedWater, MeltingHeat, ice_in_place, ice_on_top};
pub use interval::{interval, interval_degrees};
pub use overrun::{aerated_density, aerated_mass, mix_density, overrun};
pub use root::Root;
pub use saturation::{Saturated, saturation, saturation_temperature};
pub use stages::{Stage, StageRange, StageReading, stage_at};

/// What is shown with every figure about hot sugar.
pub const HOT_SUGAR_CAUTION: &str = "Caution: boiling syrup and cooked sugar stick to the skin \
    and burn deeply. These are figures, not a safe way of working: leave hot sugar to trained \
    staff, and let the site's own safety rules and local law come first.";
