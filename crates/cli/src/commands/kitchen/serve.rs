//! Serving what a kitchen holds to its tools: `chablon kitchen follow --listen`.

use std::fs;
use std::io::ErrorKind;
use std::net::SocketAddr;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use chablon_sdk::access::{AccessToken, random_token};
use chablon_server::{Hub, SqliteReplica};
use clap::Args;
use tokio::net::TcpListener;
use tokio_util::sync::CancellationToken;

use super::ReplicaArguments;
use crate::arguments::TlsArguments;
use crate::console;
use crate::credentials::{private_beside, seen_by_others};
use crate::failure::Failure;

/// Whether and how tools in the kitchen are served.
#[derive(Debug, Args)]
pub(super) struct ServingArguments {
    /// Serve what is held to tools in the kitchen at this address, hub or no hub, such as
    /// 127.0.0.1:7468; port 0 takes a free one
    #[arg(long, value_name = "ADDRESS")]
    listen: Option<SocketAddr>,
    /// The file with the token that tools must show, made where there is none; beyond this machine
    /// one is needed
    #[arg(long, value_name = "FILE", requires = "listen")]
    listen_token: Option<PathBuf>,
    #[command(flatten)]
    tls: TlsArguments,
}

/// A kitchen that is ready to serve its tools.
pub(super) struct Service {
    hub: Hub,
    listener: TcpListener,
    store: Arc<SqliteReplica>,
}

impl ServingArguments {
    /// Listens, where that is asked for, and says where.
    pub(super) async fn begin(
        &self,
        replica: &ReplicaArguments,
    ) -> Result<Option<Service>, Failure> {
        let Some(address) = self.listen else {
            return if self.tls.is_named() { Err(nothing_to_encrypt()) } else { Ok(None) };
        };
        let tls = self.tls.tls()?;
        let token = self.token(address)?;
        let (file, site) = (&replica.replica, &replica.site);
        let store = SqliteReplica::open(file).await.map_err(|error| {
            Failure::hub(format!("{} can't be served: {error}", file.display()))
        })?;
        let store = Arc::new(store);
        let listener = TcpListener::bind(address).await.map_err(|error| taken(address, &error))?;
        let at = listener.local_addr().map_err(|error| Failure::internal(error.to_string()))?;
        let scheme = if tls.is_some() { "https" } else { "http" };
        let whom = if token.is_some() { "who show its token" } else { "on this machine" };
        console::result(&format!(
            "{site} serves what it holds to tools {whom} at {scheme}://{at}"
        ))?;
        let hub = Hub::at_kitchen(store.clone(), site.clone(), token.as_ref());
        let hub = match tls {
            Some(tls) => hub.with_tls(tls),
            None => hub,
        };
        Ok(Some(Service { hub, listener, store }))
    }

    /// The token to ask for. Whoever reaches another machine may be anybody.
    fn token(&self, address: SocketAddr) -> Result<Option<AccessToken>, Failure> {
        match &self.listen_token {
            Some(file) => kept(file).map(Some),
            None if address.ip().is_loopback() => Ok(None),
            None => Err(Failure::usage(format!(
                "whoever reaches {address} could read the kitchen's standards and prices, so nothing was served"
            ))
            .hint("ask tools for a token with --listen-token FILE, or listen on 127.0.0.1 alone")),
        }
    }
}

impl Service {
    /// Serves until it is told to stop.
    pub(super) async fn run(self, stop: CancellationToken) -> Result<(), Failure> {
        let served = self.hub.serve(self.listener, stop).await;
        self.store.close().await;
        served.map(drop).map_err(|error| {
            Failure::hub(format!("tools in the kitchen are no longer served: {error}"))
        })
    }
}

fn nothing_to_encrypt() -> Failure {
    Failure::usage("a certificate is for what is served, and nothing is")
        .hint("say where to serve tools in the kitchen with --listen ADDRESS")
}

fn taken(address: SocketAddr, error: &std::io::Error) -> Failure {
    Failure::hub(format!("{address} can't be listened on ({error}), so nothing was served"))
        .hint("another program may be running there; name another address with --listen")
}

/// The token of a file; a new one where there is no file yet.
fn kept(file: &Path) -> Result<AccessToken, Failure> {
    let unusable =
        |why: String| Failure::refused(format!("the file of the token {} {why}", file.display()));
    match fs::read_to_string(file) {
        Ok(_) if seen_by_others(file) => Err(unusable("may be read by others".to_owned())
            .hint(format!("take that away with: chmod 600 {}", file.display()))),
        Ok(text) => text.trim().parse().map_err(|_| {
            unusable("holds none".to_owned()).hint("move it away, and a new one is made")
        }),
        Err(error) if error.kind() == ErrorKind::NotFound => {
            let token =
                random_token().map_err(|error| Failure::of(&error, "nothing was served"))?;
            private_beside(file, &token.reveal())
                .and_then(|written| Ok(written.persist_noclobber(file)?))
                .map_err(|error| unusable(format!("can't be written: {error}")))?;
            console::note(&format!("Tools are let in by the token in {}.", file.display()));
            Ok(token)
        }
        Err(error) => Err(unusable(format!("can't be read: {error}"))),
    }
}
