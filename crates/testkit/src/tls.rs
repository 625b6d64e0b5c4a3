//! Certificates for encrypted lines to this machine.

use rcgen::{BasicConstraints, CertificateParams, CertifiedIssuer, IsCa, KeyPair};

/// Somebody who vouches for certificates, whom only those trust who are told to.
pub struct Authority(CertifiedIssuer<'static, KeyPair>);

impl Default for Authority {
    fn default() -> Self {
        let mut params = CertificateParams::new([]).expect("no names are good names");
        params.is_ca = IsCa::Ca(BasicConstraints::Unconstrained);
        let key = KeyPair::generate().expect("a key");
        Self(CertifiedIssuer::self_signed(params, key).expect("a certificate"))
    }
}

impl Authority {
    /// Its own certificate, as PEM: what those hold who trust it.
    pub fn pem(&self) -> String {
        self.0.pem()
    }

    /// A certificate for this machine that it vouches for, and the private key to it, both as PEM.
    pub fn vouch(&self) -> (String, String) {
        let key = KeyPair::generate().expect("a key");
        let names = ["localhost".to_owned(), "127.0.0.1".to_owned()];
        let params = CertificateParams::new(names).expect("good names");
        (params.signed_by(&key, &self.0).expect("a certificate").pem(), key.serialize_pem())
    }
}
