//! Clients on a simulated network. Tests alone have a use for it, and it may change at any time.

pub use crate::transport::dial::simulated::{Carrier, Dialled};

use crate::transport::dial::Dial;
use crate::{Client, Error, Options};

/// A client whose connections are made by a function of the host and the port.
///
/// # Errors
/// As [`Client::connect`].
pub fn connect(
    addresses: impl IntoIterator<Item = impl Into<String>>,
    options: Options,
    dial: impl Fn(String, u16) -> Dialled + Send + Sync + 'static,
) -> Result<Client, Error> {
    Client::over(addresses, options, Dial::simulated(dial))
}
