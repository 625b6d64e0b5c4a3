//! Results as a chef reads them.

mod closing;
mod cost;
mod declared;
mod listing;
mod names;
mod plan;
mod reckoned;
mod release;
mod shock;
mod standards;
mod tongue;

pub(crate) use cost::{Costed, PriceForShare, cost_sheet};
pub(crate) use declared::{balance_sheet, declaration_sheet};
pub(crate) use listing::{Listing, Side, paragraph};
pub(crate) use names::Names;
pub(crate) use plan::sheet;
pub(crate) use reckoned::reckoned;
pub(crate) use release::{contents, counted, draft};
pub(crate) use shock::shock_sheet;
pub(crate) use standards::{by_document, by_site, news, of_replica};
pub(crate) use tongue::{NO_BREAK, Tongue};
