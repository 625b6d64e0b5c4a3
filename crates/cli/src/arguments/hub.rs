//! Which hub.

use chablon_sdk::{Client, Options};
use clap::Args;

use crate::failure::Failure;

/// The addresses of a hub.
#[derive(Debug, Args)]
pub(crate) struct HubArguments {
    /// The hub's address, or several that are used in turn
    #[arg(
        long = "hub",
        value_name = "URL",
        value_delimiter = ',',
        required = true,
        env = "CHABLON_HUB"
    )]
    addresses: Vec<String>,
}

impl HubArguments {
    /// A client of the hub. Nothing is sent yet.
    pub(crate) fn client(&self) -> Result<Client, Failure> {
        connect(&self.addresses)
    }
}

/// A client of the hub at these addresses.
pub(crate) fn connect(addresses: &[String]) -> Result<Client, Failure> {
    Client::connect(addresses, Options::default())
        .map_err(|error| Failure::usage(error.to_string()))
}
