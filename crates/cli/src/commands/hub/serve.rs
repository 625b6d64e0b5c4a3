//! `chablon hub serve`.

use std::net::SocketAddr;
use std::path::PathBuf;

use chablon_server::{Access, DEFAULT_ADDRESS, Hub, HubConfig, OpenStore, Stopped, knows_anybody};
use clap::{Args, ValueEnum};
use tokio::net::TcpListener;
use tokio_util::sync::CancellationToken;
use tracing_subscriber::EnvFilter;

use crate::arguments::{StoreArguments, TlsArguments};
use crate::failure::{Exit, Failure};
use crate::keys::PassphraseArguments;
use crate::{console, signals};

/// Serve a hub until it is told to stop
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    store: StoreArguments,
    /// Where to listen; port 0 takes a free one
    #[arg(long, value_name = "ADDRESS", default_value_t = DEFAULT_ADDRESS)]
    listen: SocketAddr,
    /// Whom to let in: `open` for whoever reaches it, `required` for those who have joined by a code
    #[arg(long, value_enum, default_value_t)]
    access: Admission,
    /// Serve an open hub to other machines, where whoever reaches it may read and release everything
    #[arg(long)]
    trust_network: bool,
    #[command(flatten)]
    tls: TlsArguments,
    /// The file of the key by which it signs what it shows kitchens; no other key belongs on a hub
    #[arg(long, value_name = "FILE", env = "CHABLON_HUB_KEY")]
    hub_key: Option<PathBuf>,
    #[command(flatten)]
    passphrase: PassphraseArguments,
    /// How many connections to hold at once, and as many streams; each takes a file descriptor
    #[arg(long, value_name = "COUNT", default_value_t = HubConfig::default().max_connections)]
    max_connections: usize,
    /// How to log, to standard error; `CHABLON_LOG` says what, such as `debug`
    #[arg(long, value_enum, default_value_t)]
    log: Log,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum Admission {
    #[default]
    Open,
    Required,
}

impl Arguments {
    fn access(&self) -> Access {
        match self.access {
            Admission::Open => Access::Open,
            Admission::Required => Access::Required,
        }
    }

    /// An open hub belongs on the machine itself, unless its network is said to be trusted.
    fn check(&self) -> Result<(), Failure> {
        let here = self.listen.ip().is_loopback();
        if here || self.trust_network || self.access == Admission::Required {
            return Ok(());
        }
        let address = self.listen;
        Err(Failure::usage(format!(
            "whoever reaches an open hub at {address} may read and release everything, so no hub was started"
        ))
        .hint("ask for tokens with --access required, or say that the whole network is trusted with --trust-network"))
    }

    fn config(&self) -> HubConfig {
        let most = self.max_connections;
        HubConfig { max_connections: most, max_streams: most, ..HubConfig::default() }
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum Log {
    #[default]
    Text,
    Json,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    arguments.check()?;
    let tls = arguments.tls.tls()?;
    begin_log(arguments.log)?;
    let hub_key = arguments.passphrase.open(arguments.hub_key.as_slice())?.pop();
    let location = &arguments.store.location;
    let listener = TcpListener::bind(arguments.listen).await.map_err(|error| {
        let address = arguments.listen;
        Failure::hub(format!("{address} can't be listened on ({error}), so no hub was started"))
            .hint("another hub may be running there; name another address with --listen")
    })?;
    let address = listener.local_addr().map_err(|error| Failure::internal(error.to_string()))?;
    let store = OpenStore::open(location).await.map_err(|error| super::store(location, &error))?;
    let stop = CancellationToken::new();
    signals::cancel_when_told(stop.clone());
    let scheme = if tls.is_some() { "https" } else { "http" };
    console::result(&format!(
        "The hub serves {location} at {scheme}://{address} (stop it with Ctrl-C)"
    ))?;
    advise(arguments, &store).await?;
    let hub = Hub::new(store.store()).with_config(arguments.config());
    let hub = hub.with_access(arguments.access());
    let hub = match tls {
        Some(tls) => hub.with_tls(tls),
        None => hub,
    };
    let hub = match hub_key {
        Some(key) => hub.with_checkpoint_key(key),
        None => hub,
    };
    let served = hub.serve(listener, stop).await;
    store.close().await;
    let stopped = served
        .map_err(|error| Failure::hub(format!("the hub stopped: {}", super::chain(&error))))?;
    console::note(match stopped {
        Stopped::AtRest => "The hub has stopped; every call came to its end.",
        Stopped::CutOff => "The hub has stopped; some calls were cut off.",
        Stopped::LeftBehind => {
            "The hub has stopped; some calls would not end and were left behind."
        }
    });
    Ok(Exit::Result)
}

/// Says what whoever starts a hub should know.
async fn advise(arguments: &Arguments, store: &OpenStore) -> Result<(), Failure> {
    if arguments.access == Admission::Open {
        if !arguments.listen.ip().is_loopback() {
            let address = arguments.listen;
            tracing::warn!("whoever reaches {address} may read and release everything");
        }
        return Ok(());
    }
    let location = &arguments.store.location;
    let known = knows_anybody(&*store.store()).await;
    if !known.map_err(|error| super::store(location, &error))? {
        console::note(&format!(
            "Nobody may reach it yet. Let the first chef in with: chablon hub invite --store {location} --role chef --name NAME"
        ));
    }
    Ok(())
}

fn begin_log(log: Log) -> Result<(), Failure> {
    let filter = EnvFilter::builder().with_env_var("CHABLON_LOG").try_from_env();
    let filter = filter.unwrap_or_else(|_| EnvFilter::new("info"));
    let lines = tracing_subscriber::fmt().with_env_filter(filter).with_writer(std::io::stderr);
    let begun = match log {
        Log::Text => lines.with_ansi(console::colours_notes()).try_init(),
        Log::Json => lines.json().try_init(),
    };
    begun.map_err(|error| Failure::internal(format!("the log can't be begun: {error}")))
}
