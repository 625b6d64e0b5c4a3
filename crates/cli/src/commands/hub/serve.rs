//! `chablon hub serve`.

use std::net::SocketAddr;

use chablon_server::{DEFAULT_ADDRESS, Hub, OpenStore, Stopped};
use clap::{Args, ValueEnum};
use tokio::net::TcpListener;
use tokio_util::sync::CancellationToken;
use tracing_subscriber::EnvFilter;

use crate::arguments::StoreArguments;
use crate::failure::{Exit, Failure};
use crate::{console, signals};

/// Serve a hub until it is told to stop
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    store: StoreArguments,
    /// Where to listen; port 0 takes a free one
    #[arg(long, value_name = "ADDRESS", default_value_t = DEFAULT_ADDRESS)]
    listen: SocketAddr,
    /// How to log, to standard error; `CHABLON_LOG` says what, such as `debug`
    #[arg(long, value_enum, default_value_t)]
    log: Log,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum Log {
    #[default]
    Text,
    Json,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    begin_log(arguments.log)?;
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
    console::result(&format!(
        "The hub serves {location} at http://{address} (stop it with Ctrl-C)"
    ))?;
    if !address.ip().is_loopback() {
        tracing::warn!(
            "this version knows no passwords: whoever reaches {address} may read and release everything"
        );
    }
    let served = Hub::new(store.store()).serve(listener, stop).await;
    store.close().await;
    let stopped = served.map_err(|error| Failure::hub(format!("the hub stopped: {error}")))?;
    console::note(match stopped {
        Stopped::AtRest => "The hub has stopped; every call came to its end.",
        Stopped::CutOff => "The hub has stopped; some calls were cut off.",
        Stopped::LeftBehind => {
            "The hub has stopped; some calls would not end and were left behind."
        }
    });
    Ok(Exit::Result)
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
