//! Stopping.

use std::time::{Duration, Instant};

use chablon_server::{HubConfig, Stopped};
use chablon_testkit::{Keeping, TestHub};
use chablon_wire::pb;
use test_case::test_case;
use tokio::io::AsyncWriteExt;
use tokio::net::TcpStream;
use tokio::time::timeout;
use tonic::Code;
use tonic_health::pb::HealthCheckRequest;
use tonic_health::pb::health_client::HealthClient;

use crate::support::{Kit, refused};

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn streams_are_told_to_go_on_elsewhere(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    kit.release_book().await;
    let mut client = kit.feed.clone();
    let mut watch =
        client.watch_changes(pb::WatchChangesRequest::default()).await.unwrap().into_inner();
    assert!(watch.message().await.unwrap().is_some());
    kit.hub.tell_to_stop();
    let told = async {
        loop {
            if let Err(status) = watch.message().await {
                return status;
            }
        }
    };
    let status = timeout(Duration::from_secs(2), told).await.expect("the watch ends");
    refused::<()>(Err(status)).is(Code::Unavailable, "SHUTTING_DOWN", &[]);
    assert_eq!(kit.hub.stop().await, Stopped::AtRest);
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn three_unread_streams_do_not_hold_it_up(keeping: Keeping) {
    let mut kit = Kit::start(keeping).await;
    let (chef, _) = kit.release_book().await;
    kit.release_with_long_notes(&chef, 4).await;
    let mut unread = Vec::new();
    for _ in 0..3 {
        // A connection each, more waiting on it than its window takes, and nobody reads.
        let mut client = Kit::client_of_feed(&kit.hub).await;
        let watch = client.watch_changes(pb::WatchChangesRequest::default()).await.unwrap();
        unread.push((client, watch));
    }
    let began = Instant::now();
    let stopped = kit.hub.stop().await;
    let took = began.elapsed();
    assert!(took < Duration::from_secs(3), "it took {took:?}");
    assert_eq!(stopped, Stopped::CutOff);
    drop(unread);
}

#[tokio::test]
async fn a_peer_that_says_nothing_does_not_hold_it_up() {
    let hub = TestHub::start(Keeping::Memory).await;
    let silent = TcpStream::connect(hub.address()).await.unwrap();
    let mut half = TcpStream::connect(hub.address()).await.unwrap();
    half.write_all(b"PRI * HTTP/2.0\r\n").await.unwrap();
    let began = Instant::now();
    assert_eq!(hub.stop().await, Stopped::CutOff);
    assert!(began.elapsed() < Duration::from_secs(3));
    drop((silent, half));
}

#[tokio::test]
async fn it_says_that_it_no_longer_serves() {
    let hub = TestHub::start(Keeping::Memory).await;
    let mut health = HealthClient::new(hub.channel().await);
    let service = "chablon.v1.FeedService".to_owned();
    let mut watch = health.watch(HealthCheckRequest { service }).await.unwrap().into_inner();
    let serving = watch.message().await.unwrap().unwrap();
    hub.tell_to_stop();
    let after = timeout(Duration::from_secs(2), watch.message()).await.unwrap().unwrap().unwrap();
    assert_eq!((serving.status, after.status), (1, 2), "serving, then not");
    assert_eq!(hub.stop().await, Stopped::AtRest, "a watch of health ends as well");
}

#[tokio::test]
async fn what_was_answered_is_there_after_a_fall() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("hub.db");
    let mut kit = Kit::start(Keeping::SqliteAt(path.clone())).await;
    let (_, answer) = kit.release_book().await;
    drop(kit);
    let mut kit = Kit::start(Keeping::SqliteAt(path)).await;
    let page = kit.changes("", None, 0).await.unwrap();
    assert_eq!(page.entries.len(), 3);
    assert_eq!(page.next.unwrap().epoch, answer.epoch);
}

#[tokio::test]
async fn connections_beyond_the_bound_wait_for_room() {
    let config = HubConfig { max_connections: 1, ..HubConfig::default() };
    let hub = TestHub::builder(Keeping::Memory).config(config).start().await;
    let mut first = Kit::client_of_feed(&hub).await;
    first.get_feed_state(pb::GetFeedStateRequest::default()).await.unwrap();
    let mut second = Kit::client_of_feed(&hub).await;
    let mut ask = Box::pin(second.get_feed_state(pb::GetFeedStateRequest::default()));
    assert!(timeout(Duration::from_millis(200), &mut ask).await.is_err(), "there is no room");
    drop(first);
    timeout(Duration::from_secs(5), ask).await.expect("there is room").unwrap();
}
