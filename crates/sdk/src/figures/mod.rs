//! Figures: what to weigh, and what it costs.
//!
//! However a figure was asked for, it comes as the same [`Plan`] or [`Costing`], computed by the
//! same rules:
//!
//! - from the standard in force at a site, offline: [`Standard`](crate::Standard);
//! - from a book as it is written, released or not: [`Authored`];
//! - by the hub, for those who don't keep a replica: [`Client::scale`](crate::Client::scale).
//!
//! A [`Figure`] is exact; it is rounded once, when it is shown. Each result carries its [`Basis`]:
//! two results with one basis have the same digits.

mod authored;
mod basis;
mod compute;
mod costing;
mod figure;
#[cfg(feature = "json")]
pub(crate) mod json;
mod plan;
mod shock;

pub use chablon_change::{Caution, Laid};

pub use authored::Authored;
pub use basis::{Basis, ReplicaState};
pub(crate) use compute::{Kitchen, Known};
pub use costing::{Costing, IngredientCost, Missing, OrderLine, PriceUsed};
pub use figure::Figure;
pub use plan::{Component, IngredientTotal, Line, Plan, Product, Warning, Weighing};
pub use shock::{NewPrice, PriceChange, PriceMove, PriceMoved, PriceShock, RecipeShock, SiteShock};
