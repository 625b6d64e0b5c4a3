//! Encryption of what goes over the wire.

use std::fmt;
use std::time::Duration;

use tonic::transport::{Certificate, Identity, ServerTlsConfig};

/// How long a peer has to agree on encryption.
const AGREED_WITHIN: Duration = Duration::from_secs(10);

/// The certificate by which a hub shows who it is.
#[derive(Clone)]
pub struct Tls {
    certificate: Vec<u8>,
    key: Vec<u8>,
    callers: Option<Vec<u8>>,
}

impl Tls {
    /// A certificate with what leads to its root, and its private key, both as PEM.
    pub fn new(certificate: impl Into<Vec<u8>>, key: impl Into<Vec<u8>>) -> Self {
        Self { certificate: certificate.into(), key: key.into(), callers: None }
    }

    /// Takes connections from those alone who show a certificate that one of these roots, as PEM,
    /// vouches for. They still need a token where the hub asks for one.
    #[must_use]
    pub fn with_callers(self, roots: impl Into<Vec<u8>>) -> Self {
        Self { callers: Some(roots.into()), ..self }
    }

    pub(crate) fn config(&self) -> ServerTlsConfig {
        let identity = Identity::from_pem(&self.certificate, &self.key);
        let config = ServerTlsConfig::new().identity(identity).timeout(AGREED_WITHIN);
        match &self.callers {
            None => config,
            Some(roots) => config.client_ca_root(Certificate::from_pem(roots)),
        }
    }
}

impl fmt::Debug for Tls {
    /// The key stays unsaid.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Tls").field("callers", &self.callers.is_some()).finish_non_exhaustive()
    }
}
