//! An encrypted line: whom it lets through, and whom not.

use chablon_server::Tls;
use chablon_testkit::{Authority, Keeping, TestHub};
use chablon_wire::pb;
use chablon_wire::pb::feed_service_client::FeedServiceClient;
use tonic::transport::{Certificate, ClientTlsConfig, Endpoint, Identity};

async fn reach(hub: &TestHub, config: ClientTlsConfig) -> Result<(), Box<dyn std::error::Error>> {
    let url = hub.url().replace("http://", "https://");
    let channel = Endpoint::from_shared(url)?.tls_config(config)?.connect().await?;
    FeedServiceClient::new(channel).get_feed_state(pb::GetFeedStateRequest::default()).await?;
    Ok(())
}

fn trusting(root: &Authority) -> ClientTlsConfig {
    ClientTlsConfig::new().ca_certificate(Certificate::from_pem(root.pem()))
}

#[tokio::test]
async fn only_the_right_root_vouches_for_a_hub() {
    let [root, other] = [(); 2].map(|()| Authority::default());
    let (certificate, key) = root.vouch();
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
    let [hubs, kitchens, other] = [(); 3].map(|()| Authority::default());
    let (certificate, key) = hubs.vouch();
    let tls = Tls::new(certificate, key).with_callers(kitchens.pem());
    let hub = TestHub::builder(Keeping::Memory).tls(tls).start().await;
    let own = |root: &Authority| {
        let (certificate, key) = root.vouch();
        trusting(&hubs).identity(Identity::from_pem(certificate, key))
    };
    reach(&hub, own(&kitchens)).await.unwrap();
    reach(&hub, trusting(&hubs)).await.expect_err("no certificate");
    reach(&hub, own(&other)).await.expect_err("one that nobody here vouches for");
}

#[test]
fn a_key_is_never_shown() {
    let (certificate, key) = Authority::default().vouch();
    let shown = format!("{:?}", Tls::new(certificate, key));
    assert!(!shown.contains("PRIVATE"), "{shown}");
}
