//! What is in it: allergens, content, labels, ingredient lists, balance and control points.
//!
//! [`Declarer`] reckons every recipe of a library once and is asked recipe by recipe. Figures are
//! exact; what isn't known is named and never taken for nothing.
//!
//! Nothing here reads a file or a clock. The one figure that isn't rational, water activity, is
//! reckoned in fixed point; no allergen and no label rests on it.

pub mod allergens;
pub mod balance;
pub mod caution;
pub mod content;
pub mod control;
mod declaration;
mod declarer;
pub mod ingredient_list;
pub mod label;
mod number;
mod size;

pub use declaration::{Declaration, DeclareOptions};
pub use declarer::{CompoundContent, DeclareError, Declarer};
