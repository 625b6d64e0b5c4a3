//! How much a shape weighs, and how many of a shape a sheet, a tray or an oven takes.
//!
//! - [`Outline`]: a disc, a ring or a rectangle, seen from above. With a thickness and a density
//!   it is a mass, which is what a line of a recipe takes ("a disc of this size").
//! - [`Mould`]: what a mould holds when it is filled to the rim or to a part of its volume.
//! - [`Sheet::fit`]: how many of an outline a sheet gives, in rows and staggered, and what is cut
//!   off: a yield ("a sheet gives so many discs").
//! - [`volume`] and [`lay_out`] take shapes and sheets as a book has them.
//! - [`OvenPlan`]: trays and oven loads for so many pieces.
//!
//! Everything is exact. So that it stays rational, [`pi`] and [`half_root_three`] are two decimals
//! of 16 digits by agreement, not the irrational numbers themselves.
//!
//! The formulas are those of elementary solid geometry and hold for any size above 0, so there is
//! no published range to stay within; what is refused is a size that isn't above 0 and a shape
//! that doesn't fit.
//!
//! ```
//! use chablon_arith::geometry::{Outline, Sheet, Spacing};
//! use chablon_quantity::{Authored, LengthUnit, ParseError};
//!
//! let length = |text: &str| Ok::<_, ParseError>(text.parse::<Authored<LengthUnit>>()?.quantity());
//! let sheet = Sheet::new(length("60 cm")?, length("40 cm")?)?;
//! let disc = Outline::disc(length("160 mm")?)?;
//! let fit = sheet.fit(&disc, &Spacing::gap(length("4 mm")?)?)?;
//! assert_eq!(fit.best().pieces, 6);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```

mod authored;
mod error;
mod layout;
mod mould;
mod outline;
mod oven;
pub(crate) mod shown;
mod size;

pub(crate) use authored::most_pieces;
pub use authored::{lay_out, volume};
pub use error::GeometryError;
pub use layout::{Along, Fit, Layout, Pattern, Sheet, Spacing};
pub use mould::Mould;
pub use outline::{Area, Outline};
pub use oven::OvenPlan;

use chablon_quantity::Exact;

/// The ratio of a circle's circumference to its diameter, by agreement 3.141592653589793 exactly.
pub fn pi() -> Exact {
    Exact::ratio(3_141_592_653_589_793, 1_000_000_000_000_000).expect("a constant denominator")
}

/// Half the square root of 3, by agreement 0.8660254037844386 exactly.
pub fn half_root_three() -> Exact {
    Exact::ratio(8_660_254_037_844_386, 10_000_000_000_000_000).expect("a constant denominator")
}
