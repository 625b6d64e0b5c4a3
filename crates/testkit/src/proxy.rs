//! A TCP proxy that breaks.

use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

use tokio::io::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt};
use tokio::net::tcp::OwnedReadHalf;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{Semaphore, watch};
use tokio_util::sync::CancellationToken;

/// How many connections it carries at once; those beyond wait.
const MAX_CONNECTIONS: usize = 512;

/// How many bytes it passes on at a time.
const STEP: usize = 1024;

/// What is wrong with the way.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Way {
    Open,
    /// Nothing passes, and no connection ends.
    Stalled,
    /// After each step it rests so long.
    Slow(Duration),
    /// Nothing comes back, and what is sent is lost. No connection that was open then ever hears of
    /// it, not even once the way is mended.
    HalfOpen,
    /// Connections end as soon as they begin.
    Cut,
}

/// A way to an address that can be stalled, slowed and cut.
///
/// It serves on a free port of 127.0.0.1 until it is dropped.
pub struct Proxy {
    address: SocketAddr,
    way: watch::Sender<Way>,
    carried: Arc<AtomicU64>,
    end: CancellationToken,
}

impl Proxy {
    /// An open way to an address.
    pub async fn to(target: SocketAddr) -> Self {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).await.expect("a free port");
        let address = listener.local_addr().expect("a bound listener has an address");
        let way = watch::Sender::new(Way::Open);
        let end = CancellationToken::new();
        let carried = Arc::default();
        let line =
            Line { target, way: way.subscribe(), carried: Arc::clone(&carried), end: end.clone() };
        tokio::spawn(line.serve(listener));
        Self { address, way, carried, end }
    }

    /// Where to connect instead.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Where to connect instead, as an address of a client.
    pub fn url(&self) -> String {
        format!("http://{}", self.address)
    }

    /// How many bytes it has passed on since it was made, both ways together.
    pub fn carried(&self) -> u64 {
        self.carried.load(Ordering::Relaxed)
    }

    /// Ends all connections, and new ones as they come, until it is mended.
    pub fn cut(&self) {
        self.way.send_replace(Way::Cut);
    }

    /// Lets nothing pass until it is mended.
    pub fn stall(&self) {
        self.way.send_replace(Way::Stalled);
    }

    /// Loses the far ends of all connections, without a word to the near ones, and those of new ones
    /// as they come, until it is mended. What is connected by then stays deaf for good, as where a
    /// router forgot a line.
    pub fn half_open(&self) {
        self.way.send_replace(Way::HalfOpen);
    }

    /// Rests so long after each kibibyte.
    pub fn slow(&self, rest: Duration) {
        self.way.send_replace(Way::Slow(rest));
    }

    /// Lets everything pass again. Connections that were cut stay so.
    pub fn mend(&self) {
        self.way.send_replace(Way::Open);
    }
}

impl Drop for Proxy {
    fn drop(&mut self) {
        self.end.cancel();
    }
}

#[derive(Clone)]
struct Line {
    target: SocketAddr,
    way: watch::Receiver<Way>,
    carried: Arc<AtomicU64>,
    end: CancellationToken,
}

impl Line {
    async fn serve(self, listener: TcpListener) {
        let places = Arc::new(Semaphore::new(MAX_CONNECTIONS));
        let end = self.end.clone();
        let accepting = async {
            loop {
                let place = Arc::clone(&places).acquire_owned().await;
                let Ok((near, _)) = listener.accept().await else { return };
                let line = self.clone();
                tokio::spawn(async move {
                    line.carry(near).await;
                    drop(place);
                });
            }
        };
        end.run_until_cancelled(accepting).await;
    }

    /// Carries one connection until either side ends, or it is cut.
    async fn carry(self, near: TcpStream) {
        let Ok(far) = TcpStream::connect(self.target).await else { return };
        let ((mut near_in, mut near_out), (far_in, far_out)) =
            (near.into_split(), far.into_split());
        let (mut way, mut lost) = (self.way.clone(), self.way.clone());
        let deaf = tokio::select! {
            () = self.pass(&mut near_in, far_out) => false,
            () = self.pass(far_in, &mut near_out) => false,
            _ = way.wait_for(|way| *way == Way::Cut) => false,
            Ok(_) = lost.wait_for(|way| *way == Way::HalfOpen) => true,
            () = self.end.cancelled() => false,
        };
        if deaf {
            self.swallow(near_in).await;
        }
    }

    async fn pass(&self, mut from: impl AsyncRead + Unpin, mut to: impl AsyncWrite + Unpin) {
        let mut way = self.way.clone();
        let mut buffer = vec![0; STEP];
        while let Ok(length @ 1..) = from.read(&mut buffer).await {
            let Ok(now) = way.wait_for(|way| *way != Way::Stalled).await.map(|way| *way) else {
                return;
            };
            if to.write_all(&buffer[..length]).await.is_err() {
                return;
            }
            self.carried.fetch_add(length as u64, Ordering::Relaxed);
            if let Way::Slow(rest) = now {
                tokio::time::sleep(rest).await;
            }
        }
    }

    /// Takes what comes and says nothing, until the near side gives up or is cut.
    async fn swallow(mut self, mut near: OwnedReadHalf) {
        let mut nowhere = tokio::io::sink();
        tokio::select! {
            _ = tokio::io::copy(&mut near, &mut nowhere) => {}
            _ = self.way.wait_for(|way| *way == Way::Cut) => {}
            () = self.end.cancelled() => {}
        }
    }
}
