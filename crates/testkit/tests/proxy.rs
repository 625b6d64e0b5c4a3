//! The proxy breaks what it is told to, and mends.

use std::time::{Duration, Instant};

use chablon_model::Audience;
use chablon_testkit::{Chef, Keeping, Proxy, TestHub, sample};
use chablon_wire::pb::feed_service_client::FeedServiceClient;
use chablon_wire::pb::release_service_client::ReleaseServiceClient;
use chablon_wire::pb::{GetFeedStateRequest, GetFeedStateResponse};
use tokio::time::timeout;
use tonic::transport::{Channel, Endpoint};
use tonic::{Response, Status};

const PATIENCE: Duration = Duration::from_secs(10);
const SHORT: Duration = Duration::from_millis(200);

async fn connect(proxy: &Proxy) -> Result<Channel, tonic::transport::Error> {
    Endpoint::from_shared(proxy.url()).unwrap().connect().await
}

async fn ask(channel: &Channel) -> Result<Response<GetFeedStateResponse>, Status> {
    FeedServiceClient::new(channel.clone()).get_feed_state(GetFeedStateRequest::default()).await
}

#[tokio::test]
async fn a_stalled_way_holds_what_it_has_until_it_is_mended() {
    let hub = TestHub::start(Keeping::Memory).await;
    let proxy = Proxy::to(hub.address()).await;
    let channel = connect(&proxy).await.unwrap();
    ask(&channel).await.unwrap();
    proxy.stall();
    let mut waiting = Box::pin(ask(&channel));
    assert!(timeout(SHORT, &mut waiting).await.is_err(), "nothing passes");
    proxy.mend();
    timeout(PATIENCE, waiting).await.expect("it passes at last").unwrap();
}

#[tokio::test]
async fn a_cut_way_ends_connections_until_it_is_mended() {
    let hub = TestHub::start(Keeping::Memory).await;
    let proxy = Proxy::to(hub.address()).await;
    let channel = connect(&proxy).await.unwrap();
    ask(&channel).await.unwrap();
    proxy.cut();
    let broken = async {
        while ask(&channel).await.is_ok() {
            tokio::time::sleep(Duration::from_millis(5)).await;
        }
    };
    timeout(PATIENCE, broken).await.expect("the connection ends");
    proxy.mend();
    let again = async {
        loop {
            match connect(&proxy).await {
                Ok(channel) if ask(&channel).await.is_ok() => return,
                _ => tokio::time::sleep(Duration::from_millis(5)).await,
            }
        }
    };
    timeout(PATIENCE, again).await.expect("new connections pass");
}

#[tokio::test]
async fn a_half_open_way_is_silent_for_good_and_new_connections_pass_once_it_is_mended() {
    let hub = TestHub::start(Keeping::Memory).await;
    let proxy = Proxy::to(hub.address()).await;
    let channel = connect(&proxy).await.unwrap();
    ask(&channel).await.unwrap();
    proxy.half_open();
    let mut waiting = Box::pin(ask(&channel));
    assert!(timeout(SHORT, &mut waiting).await.is_err(), "nothing comes back");
    proxy.mend();
    assert!(timeout(SHORT, &mut waiting).await.is_err(), "nor once the way is mended");
    let again = connect(&proxy).await.unwrap();
    timeout(PATIENCE, ask(&again)).await.expect("a new connection is heard").unwrap();
}

#[tokio::test]
async fn a_slow_way_takes_its_time() {
    let hub = TestHub::start(Keeping::Memory).await;
    let proxy = Proxy::to(hub.address()).await;
    let mut client = ReleaseServiceClient::new(connect(&proxy).await.unwrap());
    let mut chef = Chef::new();
    proxy.slow(Duration::from_millis(20));
    let request = chef.release(&sample::saltmarsh().documents(), &Audience::All).request();
    let steps = request.revisions.iter().map(|one| one.body.len()).sum::<usize>() / 1024;
    assert!(steps > 10);
    let began = Instant::now();
    client.create_release(request).await.unwrap();
    assert!(began.elapsed() > Duration::from_millis(200), "20 ms for each of {steps} KiB");
}
