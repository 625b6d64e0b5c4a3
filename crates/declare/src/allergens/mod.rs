//! Allergens: states, why, what is missing, and whom a change reaches.
//!
//! The rules, beside those that the states of a recipe follow anyway:
//!
//! - What an ingredient says of a group covers the kinds that it doesn't name: free is free of
//!   each, may-contain may be each, contains leaves each unknown. Only where a named kind accounts
//!   for the group, and all other allergens are stated, do the other kinds follow those.
//! - What an ingredient doesn't say of a group is unknown, whatever it says of kinds: free of wheat
//!   isn't free of gluten.
//! - A line counts whatever it weighs, to taste too.
//! - Sulphites are stated, not reckoned: [`sulphites`] says from which figure they count.

pub(crate) mod because;
mod blockers;
mod contradictions;
mod reach;
mod recipe;
mod states;
pub mod sulphites;
mod unstated;
pub mod views;

pub use because::{AllergenDeclaration, Cause};
pub use blockers::{Blocker, MissingStatement};
pub use contradictions::Contradiction;
pub use reach::{StateChange, changes_between, reach, state_changes};
pub use states::States;
pub use unstated::Unstated;

pub(crate) use because::declarations;
pub(crate) use blockers::blockers;
pub(crate) use contradictions::contradictions;
pub(crate) use recipe::of_recipes;
pub(crate) use unstated::gather;
