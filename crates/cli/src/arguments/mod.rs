//! Arguments that several commands share.

mod audience;
mod demand;
mod hub;
mod shape;
mod source;
mod store;
mod target;
mod tls;

pub(crate) use audience::{AddressArguments, SendArguments, show_audience};
pub(crate) use demand::DemandArguments;
pub(crate) use hub::{HubArguments, LineArguments, pem};
pub(crate) use shape::{parse_mould, parse_outline, parse_sheet};
pub(crate) use source::{SourceArguments, parse_language};
pub(crate) use store::StoreArguments;
use target::TargetArguments;
pub(crate) use tls::TlsArguments;

use clap::ValueEnum;

/// How a result is printed.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
pub(crate) enum Format {
    #[default]
    Text,
    Json,
}
