//! Results as a chef reads them.

mod audit;
mod closing;
mod comparison;
mod cost;
mod declared;
mod deviation;
mod drafts;
mod freshness;
mod listing;
mod names;
mod plan;
mod reckoned;
mod release;
mod shock;
mod standards;
mod standards_json;
mod tongue;
mod uses;

pub(crate) use audit::audit;
pub(crate) use closing::laid;
pub(crate) use comparison::{ComparisonReport, meaning};
pub(crate) use cost::{Costed, PriceForShare, cost_sheet};
pub(crate) use declared::{allergen_reach, balance_sheet, declaration_sheet};
pub(crate) use deviation::{Row, comparison, decided, decision, deviations, three_way};
pub(crate) use drafts::{check, drafts, history};
pub(crate) use freshness::{age_json, json_with_age, overdue, with_age};
pub(crate) use listing::{Listing, Side, paragraph};
pub(crate) use names::Names;
pub(crate) use plan::sheet;
pub(crate) use reckoned::reckoned;
pub(crate) use release::{contents, counted, draft};
pub(crate) use shock::shock_sheet;
pub(crate) use standards::{SiteStandings, by_document, by_site, news, of_replica, withdrawn};
pub(crate) use standards_json::{replica_standards_json, standards_json};
pub(crate) use tongue::{NO_BREAK, Tongue};
pub(crate) use uses::{lot, uses};
