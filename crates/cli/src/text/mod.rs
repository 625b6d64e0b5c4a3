//! Results as a chef reads them.

mod closing;
mod cost;
mod listing;
mod names;
mod plan;
mod release;
mod standards;
mod tongue;

pub(crate) use cost::{Costed, PriceForShare, cost_sheet};
pub(crate) use names::Names;
pub(crate) use plan::sheet;
pub(crate) use release::{contents, counted, draft, key};
pub(crate) use standards::{replica as replica_standards, site as site_standards, taken_back};
