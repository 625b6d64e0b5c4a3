//! Exact numbers, units by legal definition, dimension types and the one rounding.
//!
//! - [`Exact`] is a rational number. Nothing in it is ever rounded.
//! - [`Number`] is a number as an author wrote it: `250`, `0.5`, `1/2`, `1 1/2`.
//! - [`Authored`] is such a number with its unit, kept as written, so that it can be shown again.
//! - [`Mass`], [`Volume`], [`Length`], [`Time`], [`Density`] and [`TemperatureInterval`] are
//!   dimension types of `uom` over [`Exact`]: adding grams to millilitres doesn't compile.
//!   [`Temperature`] is wrapped, since doubling a temperature has no meaning.
//! - [`Rounded`] is the one place where a figure loses digits: half away from zero.
//!
//! The factors are ours and exact ([`mod@unit`]); `uom` supplies only the dimension types, because
//! its own factors are rounded and pass through `f64`.
//!
//! ```
//! use chablon_quantity::{Authored, Grams, MassUnit};
//!
//! let butter: Authored<MassUnit> = "1 1/2 lb".parse()?;
//! assert_eq!(butter.to_string(), "1 1/2 lb");
//! assert_eq!(butter.quantity().grams().round(3).to_string(), "680.389");
//! # Ok::<(), chablon_quantity::ParseError>(())
//! ```

mod authored;
mod dimension;
mod exact;
mod money;
mod number;
mod rounded;
mod temperature;
pub mod unit;

pub use authored::{Authored, ParseError, split};
pub use dimension::{
    Density, Grams, GramsPerMillilitre, Length, Mass, Millilitres, Millimetres, Seconds, System,
    Time, Volume,
};
pub use exact::{Exact, ExactError};
pub use money::{Currency, CurrencyError, HourlyRate, MoneyAmount};
pub use number::{Number, NumberError};
pub use rounded::Rounded;
pub use temperature::{Temperature, TemperatureInterval};
pub use unit::{
    CountUnit, DensityUnit, LengthUnit, MassUnit, Pieces, Share, ShareUnit, TemperatureUnit,
    TimeUnit, Unit, VolumeUnit,
};
