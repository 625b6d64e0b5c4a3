//! The hub as a gRPC server.
//!
//! A [`Hub`] serves every service of the schema on one listener, with the standard health service
//! and reflection from the compiled schema. What it does is in `chablon-exchange`; here are the
//! edges: fields of requests, codes of refusals, streams, bounds, and the log.
//!
//! ```
//! # tokio::runtime::Runtime::new().unwrap().block_on(async {
//! use std::sync::Arc;
//! use chablon_server::{Hub, Stopped, open_store};
//! use tokio::net::TcpListener;
//! use tokio_util::sync::CancellationToken;
//!
//! let folder = tempfile::tempdir()?;
//! let store = open_store(&folder.path().join("hub.db")).await?;
//! let listener = TcpListener::bind("127.0.0.1:0").await?;
//! let stop = CancellationToken::new();
//! # stop.cancel();
//! let stopped = Hub::new(store.clone()).serve(listener, stop).await?;
//! store.close().await;
//! assert_eq!(stopped, Stopped::AtRest);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! # }).unwrap();
//! ```
//!
//! # Access
//!
//! A hub is [open](Access::Open) unless told otherwise: whoever reaches it may read and release
//! everything, and the name that a call says is noted as one that nobody has checked. Bind it to
//! [`DEFAULT_ADDRESS`], which only the machine itself reaches, or to a network whose every member is
//! trusted. One that [asks](Access::Required) takes a token with every call, got by a code that
//! somebody who manages access handed over, and lets each do what their role may; the first code is
//! made by [`invite`], with the store in hand. [`Tls`] encrypts what goes over the wire.
//!
//! # Logs
//!
//! Through `tracing`: one span a call with its method, site, request id, peer, outcome and time;
//! an event for each release and withdrawal; a failure of the store once, with its cause. Never
//! logged are the content of documents, prices above all; notes and reasons; headers, for they carry
//! tokens; codes.
//!
//! # Streams
//!
//! A stream costs a place out of [`HubConfig::max_streams`] and otherwise next to nothing: it reads
//! from the store what its reader takes, when its reader takes it.

mod access;
mod call;
mod clock;
mod config;
mod connection;
mod desk;
mod fields;
mod health;
mod hub;
mod location;
mod packs;
mod page_token;
mod services;
mod slots;
mod status;
mod tls;

use std::net::{Ipv4Addr, SocketAddr, SocketAddrV4};
use std::path::Path;
use std::sync::Arc;

use chablon_exchange::Exchange;
pub use chablon_exchange::{Compacted, CompactionError};
use chablon_model::Moment;
use chablon_store::{Epoch, HubError, HubStore};
pub use chablon_store_sqlite::{SqliteHub, SqliteReplica};
use uuid::Uuid;

pub use access::{Access, InviteError, invite, knows_anybody};
pub use clock::Clock;
pub use config::HubConfig;
pub use hub::{Hub, ServeError, Stopped};
pub use location::{Location, LocationError, OpenStore};
pub use tls::Tls;

/// Where a hub listens unless told otherwise: on the machine itself.
pub const DEFAULT_ADDRESS: SocketAddr =
    SocketAddr::V4(SocketAddrV4::new(Ipv4Addr::LOCALHOST, 7467));

/// Opens a hub's store in an SQLite file. Where there is none it is made, with a new epoch.
pub async fn open_store(path: &Path) -> Result<Arc<SqliteHub>, HubError> {
    SqliteHub::open(path, new_epoch).await.map(Arc::new)
}

/// Takes out of every site's view what was recorded before a moment and decides nothing from `now`
/// on. Hubs that serve the store go on.
///
/// # Errors
/// [`CompactionError`]; nothing was done.
pub async fn compact(
    store: Arc<dyn HubStore>,
    before: Moment,
    now: Moment,
) -> Result<Compacted, CompactionError> {
    Exchange::new(store).compact(before, access::own_machine(), now).await
}

fn new_epoch() -> Epoch {
    Uuid::new_v4().to_string().parse().expect("a UUID is a token")
}
