//! Connections that are counted and can be cut off.

use std::io;
use std::pin::Pin;
use std::sync::Arc;
use std::task::{Context, Poll};
use std::time::Duration;

use futures::{Stream, StreamExt as _, stream};
use tokio::io::{AsyncRead, AsyncWrite, ReadBuf};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use tokio_util::sync::{CancellationToken, WaitForCancellationFutureOwned};
use tonic::transport::server::Connected;

/// How long accepting rests after it failed, commonly for want of file descriptors.
const REST: Duration = Duration::from_millis(50);

/// A connection that fails all reading and writing once it is cut off.
///
/// The transport serves each connection in a task of its own and, when it stops, waits for the last
/// one however long a peer keeps it open. Cutting the connection is what ends that task.
pub(crate) struct Connection<IO> {
    io: IO,
    cut: Pin<Box<WaitForCancellationFutureOwned>>,
    _place: OwnedSemaphorePermit,
}

impl<IO> Connection<IO> {
    pub(crate) fn new(io: IO, cut: &CancellationToken, place: OwnedSemaphorePermit) -> Self {
        Self { io, cut: Box::pin(cut.clone().cancelled_owned()), _place: place }
    }

    fn whole(&mut self, cx: &mut Context<'_>) -> io::Result<()> {
        match self.cut.as_mut().poll(cx) {
            Poll::Ready(()) => Err(io::ErrorKind::ConnectionAborted.into()),
            Poll::Pending => Ok(()),
        }
    }
}

impl<IO: AsyncRead + Unpin> AsyncRead for Connection<IO> {
    fn poll_read(
        self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buf: &mut ReadBuf<'_>,
    ) -> Poll<io::Result<()>> {
        let this = self.get_mut();
        this.whole(cx)?;
        Pin::new(&mut this.io).poll_read(cx, buf)
    }
}

impl<IO: AsyncWrite + Unpin> AsyncWrite for Connection<IO> {
    fn poll_write(
        self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        buf: &[u8],
    ) -> Poll<io::Result<usize>> {
        let this = self.get_mut();
        this.whole(cx)?;
        Pin::new(&mut this.io).poll_write(cx, buf)
    }

    fn poll_flush(self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        let this = self.get_mut();
        this.whole(cx)?;
        Pin::new(&mut this.io).poll_flush(cx)
    }

    fn poll_shutdown(self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<io::Result<()>> {
        let this = self.get_mut();
        this.whole(cx)?;
        Pin::new(&mut this.io).poll_shutdown(cx)
    }

    fn poll_write_vectored(
        self: Pin<&mut Self>,
        cx: &mut Context<'_>,
        bufs: &[io::IoSlice<'_>],
    ) -> Poll<io::Result<usize>> {
        let this = self.get_mut();
        this.whole(cx)?;
        Pin::new(&mut this.io).poll_write_vectored(cx, bufs)
    }

    fn is_write_vectored(&self) -> bool {
        self.io.is_write_vectored()
    }
}

impl<IO: Connected> Connected for Connection<IO> {
    type ConnectInfo = IO::ConnectInfo;

    fn connect_info(&self) -> Self::ConnectInfo {
        self.io.connect_info()
    }
}

/// The connections that a listener accepts.
pub(crate) fn accepted(listener: TcpListener) -> impl Stream<Item = TcpStream> + Send {
    stream::unfold(listener, |listener| async move { Some((accept(&listener).await, listener)) })
}

/// Takes connections, never more at once than there are places; those beyond wait to be accepted.
pub(crate) fn held<IO>(
    connections: impl Stream<Item = IO> + Send,
    max: usize,
    cut: CancellationToken,
) -> impl Stream<Item = io::Result<Connection<IO>>> {
    let places = Arc::new(Semaphore::new(max.min(Semaphore::MAX_PERMITS)));
    stream::unfold(
        (Box::pin(connections), places, cut),
        |(mut connections, places, cut)| async move {
            let place = Arc::clone(&places).acquire_owned().await.ok()?;
            let connection = Connection::new(connections.next().await?, &cut, place);
            Some((Ok(connection), (connections, places, cut)))
        },
    )
}

async fn accept(listener: &TcpListener) -> TcpStream {
    loop {
        match listener.accept().await {
            Ok((io, _)) => {
                // Answers are small and awaited; a connection that can't be told so still works.
                drop(io.set_nodelay(true));
                return io;
            }
            Err(error) => {
                tracing::warn!(%error, "a connection could not be accepted");
                tokio::time::sleep(REST).await;
            }
        }
    }
}
