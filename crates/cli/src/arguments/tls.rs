//! How what is served is encrypted.

use std::path::PathBuf;

use chablon_server::Tls;
use clap::Args;

use super::pem;
use crate::failure::Failure;

/// The certificate of whoever serves.
#[derive(Debug, Args)]
pub(crate) struct TlsArguments {
    /// The certificate with what leads to its root, as PEM: the line is then encrypted
    #[arg(long, value_name = "FILE", requires = "tls_key")]
    tls_cert: Option<PathBuf>,
    /// The certificate's private key, as PEM
    #[arg(long, value_name = "FILE", requires = "tls_cert")]
    tls_key: Option<PathBuf>,
    /// Take connections from those alone who show a certificate that these roots vouch for
    #[arg(long, value_name = "FILE", requires = "tls_cert")]
    tls_callers: Option<PathBuf>,
}

impl TlsArguments {
    /// Whether anything of it is named.
    pub(crate) fn is_named(&self) -> bool {
        self.tls_cert.is_some()
    }

    /// The certificate, where one is named.
    pub(crate) fn tls(&self) -> Result<Option<Tls>, Failure> {
        let (Some(certificate), Some(key)) = (&self.tls_cert, &self.tls_key) else {
            return Ok(None);
        };
        let tls = Tls::new(pem(certificate)?, pem(key)?);
        Ok(Some(match &self.tls_callers {
            Some(roots) => tls.with_callers(pem(roots)?),
            None => tls,
        }))
    }
}
