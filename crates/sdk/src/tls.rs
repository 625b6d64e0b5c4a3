//! Whom to believe, and how to show who one is, on an encrypted line.

use std::fmt;

use tonic::transport::{Certificate, ClientTlsConfig, Identity};

/// What an encrypted line (`https`) goes by. By default: the roots that the machine trusts.
#[derive(Clone, Default, PartialEq, Eq)]
pub struct Tls {
    roots: Option<Vec<u8>>,
    own: Option<(Vec<u8>, Vec<u8>)>,
}

impl Tls {
    /// Trusts these roots, as PEM, and no others.
    #[must_use]
    pub fn with_roots(self, roots: impl Into<Vec<u8>>) -> Self {
        Self { roots: Some(roots.into()), ..self }
    }

    /// Shows this certificate, with its private key, both as PEM, to a hub that asks for one.
    #[must_use]
    pub fn with_certificate(
        self,
        certificate: impl Into<Vec<u8>>,
        key: impl Into<Vec<u8>>,
    ) -> Self {
        Self { own: Some((certificate.into(), key.into())), ..self }
    }

    pub(crate) fn config(&self) -> ClientTlsConfig {
        let config = match &self.roots {
            Some(roots) => ClientTlsConfig::new().ca_certificate(Certificate::from_pem(roots)),
            None => ClientTlsConfig::new().with_native_roots(),
        };
        match &self.own {
            Some((certificate, key)) => config.identity(Identity::from_pem(certificate, key)),
            None => config,
        }
    }
}

impl fmt::Debug for Tls {
    /// The key stays unsaid.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Tls")
            .field("own_roots", &self.roots.is_some())
            .field("own_certificate", &self.own.is_some())
            .finish()
    }
}
