//! How connections are made.

use tonic::transport::{Channel, Endpoint};

/// Makes connections: over the machine's network, unless a simulation makes them.
#[derive(Clone, Default)]
pub(crate) struct Dial {
    #[cfg(feature = "simulation")]
    simulated: Option<simulated::Dialler>,
}

impl Dial {
    /// A connection that is made when it is first needed, and again when it is lost.
    pub(super) fn lazily(&self, endpoint: &Endpoint) -> Channel {
        #[cfg(feature = "simulation")]
        if let Some(dial) = self.simulated.clone() {
            return simulated::lazily(endpoint, dial);
        }
        endpoint.connect_lazy()
    }
}

#[cfg(feature = "simulation")]
pub(crate) mod simulated {
    use std::io;
    use std::sync::Arc;

    use futures::future::BoxFuture;
    use hyper_util::rt::TokioIo;
    use tokio::io::{AsyncRead, AsyncWrite};
    use tonic::transport::{Channel, Endpoint, Uri};

    use super::Dial;

    /// What carries a connection.
    pub trait Carrier: AsyncRead + AsyncWrite + Send + Unpin {}

    impl<T: AsyncRead + AsyncWrite + Send + Unpin> Carrier for T {}

    /// A connection that is being made to a host and a port.
    pub type Dialled = BoxFuture<'static, io::Result<Box<dyn Carrier>>>;

    pub(super) type Dialler = Arc<dyn Fn(String, u16) -> Dialled + Send + Sync>;

    impl Dial {
        pub(crate) fn simulated(
            dial: impl Fn(String, u16) -> Dialled + Send + Sync + 'static,
        ) -> Self {
            Self { simulated: Some(Arc::new(dial)) }
        }
    }

    pub(super) fn lazily(endpoint: &Endpoint, dial: Dialler) -> Channel {
        endpoint.connect_with_connector_lazy(tower::service_fn(move |uri: Uri| {
            let host = uri.host().unwrap_or_default().to_owned();
            let line = dial(host, uri.port_u16().unwrap_or(80));
            async move { line.await.map(TokioIo::new) }
        }))
    }
}
