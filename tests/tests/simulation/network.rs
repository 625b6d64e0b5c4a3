//! The simulated network, as the hub and the client's library see it.

use std::io;
use std::pin::Pin;
use std::task::{Context, Poll};
use std::time::Duration;

use chablon_sdk::simulation::{Carrier, connect};
use chablon_sdk::{Client, Error, Options};
use futures::{FutureExt as _, Stream, stream};
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tonic::transport::server::Connected;
use turmoil::net::{TcpListener, TcpStream};

/// Where hubs listen.
const PORT: u16 = 7467;

/// A connection at a hub.
pub(crate) struct Connection(TcpStream);

impl Connected for Connection {
    type ConnectInfo = ();

    fn connect_info(&self) {}
}

impl AsyncRead for Connection {
    fn poll_read(
        self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buf: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        Pin::new(&mut self.get_mut().0).poll_read(cx, buf)
    }
}

impl AsyncWrite for Connection {
    fn poll_write(
        self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buf: &[u8],
    ) -> Poll<io::Result<usize>> {
        Pin::new(&mut self.get_mut().0).poll_write(cx, buf)
    }

    fn poll_flush(self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.get_mut().0).poll_flush(cx)
    }

    fn poll_shutdown(self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        Pin::new(&mut self.get_mut().0).poll_shutdown(cx)
    }
}

/// The connections that come to a hub's host.
pub(crate) async fn listen() -> io::Result<impl Stream<Item = Connection> + Send> {
    let listener = TcpListener::bind(("0.0.0.0", PORT)).await?;
    Ok(stream::unfold(listener, |listener| async move {
        let (accepted, _) = listener.accept().await.ok()?;
        Some((Connection(accepted), listener))
    }))
}

/// A client of hubs on these hosts.
pub(crate) fn client(hosts: &[&str]) -> Client {
    let options = Options::default()
        .with_deadline(Duration::from_secs(5))
        .with_connect_timeout(Duration::from_secs(1))
        .with_keepalive(Duration::from_secs(10))
        .with_keepalive_timeout(Duration::from_secs(5))
        .with_silence(Duration::from_secs(90))
        .with_page_size(3);
    let addresses = hosts.iter().map(|host| format!("http://{host}:{PORT}"));
    let dial = |host: String, port| {
        let dialled = async move {
            let stream = TcpStream::connect((host.as_str(), port)).await?;
            Ok(Box::new(stream) as Box<dyn Carrier>)
        };
        dialled.boxed()
    };
    connect(addresses, options, dial).expect("addresses")
}

/// Asks until there is an answer.
pub(crate) async fn insist<T, F>(mut ask: impl FnMut() -> F) -> Result<T, Error>
where
    F: Future<Output = Result<T, Error>>,
{
    loop {
        match ask().await {
            Err(error) if error.may_retry() || error.outcome_unknown() => {
                tokio::time::sleep(Duration::from_millis(200)).await;
            }
            other => return other,
        }
    }
}
