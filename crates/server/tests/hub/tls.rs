//! An encrypted line: whom it lets through, and whom not.

use chablon_server::Tls;
use chablon_testkit::{Keeping, TestHub};
use chablon_wire::pb;
use chablon_wire::pb::feed_service_client::FeedServiceClient;
use rcgen::{BasicConstraints, CertificateParams, CertifiedIssuer, IsCa, KeyPair};
use tonic::transport::{Certificate, ClientTlsConfig, Endpoint, Identity};

/// Somebody who vouches for certificates.
fn root() -> CertifiedIssuer<'static, KeyPair> {
    let mut params = CertificateParams::new([]).unwrap();
    params.is_ca = IsCa::Ca(BasicConstraints::Unconstrained);
    CertifiedIssuer::self_signed(params, KeyPair::generate().unwrap()).unwrap()
}

/// A certificate and its key.
fn vouched(root: &CertifiedIssuer<'static, KeyPair>) -> (String, String) {
    let key = KeyPair::generate().unwrap();
    let params = CertificateParams::new(["localhost".to_owned(), "127.0.0.1".to_owned()]).unwrap();
    (params.signed_by(&key, root).unwrap().pem(), key.serialize_pem())
}

async fn reach(hub: &TestHub, config: ClientTlsConfig) -> Result<(), Box<dyn std::error::Error>> {
    let url = hub.url().replace("http://", "https://");
    let channel = Endpoint::from_shared(url)?.tls_config(config)?.connect().await?;
    FeedServiceClient::new(channel).get_feed_state(pb::GetFeedStateRequest::default()).await?;
    Ok(())
}

fn trusting(root: &CertifiedIssuer<'static, KeyPair>) -> ClientTlsConfig {
    ClientTlsConfig::new().ca_certificate(Certificate::from_pem(root.pem()))
}

#[tokio::test]
async fn only_the_right_root_vouches_for_a_hub() {
    let (root, other) = (root(), root());
    let (certificate, key) = vouched(&root);
    let hub = TestHub::builder(Keeping::Memory).tls(Tls::new(certificate, key)).start().await;
    reach(&hub, trusting(&root)).await.unwrap();
    reach(&hub, trusting(&other)).await.expect_err("another root vouches for nothing here");
    reach(&hub, trusting(&root).domain_name("elsewhere.example"))
        .await
        .expect_err("the certificate is for another name");
    let clear = Endpoint::from_shared(hub.url()).unwrap().connect().await.unwrap();
    FeedServiceClient::new(clear)
        .get_feed_state(pb::GetFeedStateRequest::default())
        .await
        .expect_err("nothing is said in clear");
    reach(&hub, trusting(&root)).await.expect("and the hub goes on");
}

#[tokio::test]
async fn a_hub_may_ask_who_connects() {
    let (hubs, kitchens, other) = (root(), root(), root());
    let (certificate, key) = vouched(&hubs);
    let tls = Tls::new(certificate, key).with_callers(kitchens.pem());
    let hub = TestHub::builder(Keeping::Memory).tls(tls).start().await;
    let own = |root| {
        let (certificate, key) = vouched(root);
        trusting(&hubs).identity(Identity::from_pem(certificate, key))
    };
    reach(&hub, own(&kitchens)).await.unwrap();
    reach(&hub, trusting(&hubs)).await.expect_err("no certificate");
    reach(&hub, own(&other)).await.expect_err("one that nobody here vouches for");
}

#[test]
fn a_key_is_never_shown() {
    let (certificate, key) = vouched(&root());
    let shown = format!("{:?}", Tls::new(certificate, key));
    assert!(!shown.contains("PRIVATE"), "{shown}");
}
