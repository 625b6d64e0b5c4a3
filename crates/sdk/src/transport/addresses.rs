//! The addresses of a hub, of which one is in use until it fails.

use std::net::IpAddr;
use std::sync::atomic::{AtomicUsize, Ordering};

use tonic::transport::{Channel, Endpoint};

use super::dial::Dial;
use super::link::{Link, Spoken};
use crate::error::Kind;
use crate::{Error, Options};

/// The addresses of a hub. Never empty.
pub(super) struct Addresses {
    all: Vec<Address>,
    dial: Dial,
    spoken: Spoken,
    /// How often an address has failed so far. The remainder says whose turn it is.
    turn: AtomicUsize,
}

/// One address.
pub(super) struct Address {
    endpoint: Endpoint,
    /// The connection that calls share.
    pub(super) channel: Channel,
    pub(super) name: String,
}

impl Addresses {
    pub(super) fn new(
        names: impl IntoIterator<Item = String>,
        options: &Options,
        dial: Dial,
    ) -> Result<Self, Error> {
        let all = names.into_iter().map(|name| address(&name, options, &dial));
        let all: Vec<Address> = all.collect::<Result<_, _>>()?;
        if all.is_empty() {
            return Err(Error::new(
                Kind::Invalid,
                "no address of a hub is given; give at least one",
            ));
        }
        Ok(Self { all, dial, spoken: Spoken::new(options)?, turn: AtomicUsize::new(0) })
    }

    /// A connection with what every call over it says.
    pub(super) fn link(&self, channel: Channel) -> Link {
        self.spoken.over(channel)
    }

    pub(super) fn turn(&self) -> usize {
        self.turn.load(Ordering::Relaxed)
    }

    pub(super) fn at(&self, turn: usize) -> &Address {
        &self.all[turn % self.all.len()]
    }

    /// A connection of its own to the address whose turn it was.
    pub(super) fn connect_apart(&self, turn: usize) -> Link {
        self.link(self.dial.lazily(&self.at(turn).endpoint))
    }

    /// Gives the turn to the next address, once for all calls that failed at this one.
    pub(super) fn pass_on(&self, turn: usize) {
        let (order, next) = (Ordering::Relaxed, turn.wrapping_add(1));
        let _passed_on_already = self.turn.compare_exchange(turn, next, order, order);
    }
}

fn address(name: &str, options: &Options, dial: &Dial) -> Result<Address, Error> {
    let malformed = |why: &str| {
        let hint = "an address has a host and a port, such as `http://hub.example:7467`";
        Error::new(Kind::Invalid, format!("`{name}` is not the address of a hub: {why}; {hint}"))
    };
    let url = if name.contains("://") { name.to_owned() } else { format!("http://{name}") };
    let endpoint =
        Endpoint::from_shared(url.clone()).map_err(|error| malformed(&error.to_string()))?;
    let endpoint = match endpoint.uri().scheme_str() {
        Some("https") => encrypted(endpoint, &url, options)?,
        Some("http") => in_clear(endpoint, &url, options)?,
        _ => return Err(malformed("only `http` and `https` are spoken")),
    };
    let endpoint = endpoint
        .connect_timeout(options.connect_timeout)
        .http2_keep_alive_interval(options.keepalive)
        .keep_alive_timeout(options.keepalive_timeout)
        .keep_alive_while_idle(true);
    Ok(Address { channel: dial.lazily(&endpoint), endpoint, name: url })
}

fn encrypted(endpoint: Endpoint, url: &str, options: &Options) -> Result<Endpoint, Error> {
    endpoint.tls_config(options.tls.config()).map_err(|error| {
        let message = format!("no encrypted line to {url} can be prepared; the roots and the own certificate must be PEM");
        Error::new(Kind::Invalid, message).with_source(error)
    })
}

/// A line that anybody on the way may read. A token isn't sent over it, unless that is what is
/// wanted or it doesn't leave the machine.
fn in_clear(endpoint: Endpoint, url: &str, options: &Options) -> Result<Endpoint, Error> {
    let host = endpoint.uri().host().unwrap_or_default();
    if options.token.is_none() || options.token_in_clear || stays_here(host) {
        return Ok(endpoint);
    }
    let message = format!(
        "a token isn't sent to {url} for all on the way to read; reach the hub by `https`, or allow \
         it in clear where the whole network is trusted"
    );
    Err(Error::new(Kind::Invalid, message))
}

/// Whether a host is this machine.
fn stays_here(host: &str) -> bool {
    let address = host.trim_start_matches('[').trim_end_matches(']').parse::<IpAddr>();
    host == "localhost" || address.is_ok_and(|address| address.is_loopback())
}
