//! Being told to stop.

use tokio_util::sync::CancellationToken;

/// Cancels when Ctrl-C is pressed or, where that exists, SIGTERM comes.
pub(crate) fn cancel_when_told(token: CancellationToken) {
    tokio::spawn(async move {
        told().await;
        token.cancel();
    });
}

/// Waits for Ctrl-C or SIGTERM.
#[cfg(unix)]
pub(crate) async fn told() {
    use tokio::signal::unix::{SignalKind, signal};
    let Ok(mut terminate) = signal(SignalKind::terminate()) else {
        return interrupted().await;
    };
    tokio::select! {
        () = interrupted() => {}
        _ = terminate.recv() => {}
    }
}

/// Waits for Ctrl-C.
#[cfg(not(unix))]
pub(crate) async fn told() {
    interrupted().await;
}

/// Where the signal can't be waited for, nothing tells to stop but the end of the process.
async fn interrupted() {
    if tokio::signal::ctrl_c().await.is_err() {
        std::future::pending::<()>().await;
    }
}
