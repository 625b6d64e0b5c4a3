//! The addresses of a hub, of which one is in use until it fails.

use std::sync::atomic::{AtomicUsize, Ordering};

use tonic::transport::{Channel, Endpoint};

use crate::error::Kind;
use crate::{Error, Options};

/// The addresses of a hub. Never empty.
pub(super) struct Addresses {
    all: Vec<Address>,
    /// How often an address has failed so far. The remainder says whose turn it is.
    turn: AtomicUsize,
}

/// One address.
pub(super) struct Address {
    pub(super) endpoint: Endpoint,
    /// The connection that calls share.
    pub(super) channel: Channel,
    pub(super) name: String,
}

impl Addresses {
    pub(super) fn new(
        names: impl IntoIterator<Item = String>,
        options: &Options,
    ) -> Result<Self, Error> {
        let all: Vec<Address> =
            names.into_iter().map(|name| address(&name, options)).collect::<Result<_, _>>()?;
        if all.is_empty() {
            return Err(Error::new(
                Kind::Invalid,
                "no address of a hub is given; give at least one",
            ));
        }
        Ok(Self { all, turn: AtomicUsize::new(0) })
    }

    pub(super) fn turn(&self) -> usize {
        self.turn.load(Ordering::Relaxed)
    }

    pub(super) fn at(&self, turn: usize) -> &Address {
        &self.all[turn % self.all.len()]
    }

    /// Gives the turn to the next address, once for all calls that failed at this one.
    pub(super) fn pass_on(&self, turn: usize) {
        let (order, next) = (Ordering::Relaxed, turn.wrapping_add(1));
        let _passed_on_already = self.turn.compare_exchange(turn, next, order, order);
    }
}

fn address(name: &str, options: &Options) -> Result<Address, Error> {
    let malformed = |why: &str| {
        let hint = "an address has a host and a port, such as `http://hub.example:7467`";
        Error::new(Kind::Invalid, format!("`{name}` is not the address of a hub: {why}; {hint}"))
    };
    let url = if name.contains("://") { name.to_owned() } else { format!("http://{name}") };
    let endpoint =
        Endpoint::from_shared(url.clone()).map_err(|error| malformed(&error.to_string()))?;
    if endpoint.uri().scheme_str() != Some("http") {
        return Err(malformed("only `http` is spoken"));
    }
    let endpoint = endpoint
        .connect_timeout(options.connect_timeout)
        .http2_keep_alive_interval(options.keepalive)
        .keep_alive_timeout(options.keepalive_timeout)
        .keep_alive_while_idle(true);
    Ok(Address { channel: endpoint.connect_lazy(), endpoint, name: url })
}
