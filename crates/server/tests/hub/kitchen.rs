//! A kitchen's replica as a server: what it takes on, method by method.

use std::net::Ipv4Addr;
use std::sync::Arc;

use chablon_model::{Moment, SiteId};
use chablon_server::Hub;
use chablon_store::{CatchUp, Cursor, Identity, MemoryReplica, ReplicaStore, digest_of};
use chablon_wire::pb;
use prost::Message;
use prost_types::FileDescriptorSet;
use tokio::net::TcpListener;
use tokio_util::sync::CancellationToken;
use tonic::client::Grpc;
use tonic::codegen::Bytes;
use tonic::codegen::http::uri::PathAndQuery;
use tonic::transport::{Channel, Endpoint};
use tonic::{Request, Status};
use tonic_health::pb::HealthCheckRequest;
use tonic_health::pb::health_client::HealthClient;

use crate::raw::Raw;
use crate::support::Refused;

/// The services and calls that a replica answers.
const SERVED: [&str; 3] = ["DocumentService/", "FigureService/", "FeedService/GetFeedState"];

/// A kitchen that has caught up with a hub that had nothing for it.
async fn kitchen() -> Channel {
    let (replica, site) = (MemoryReplica::new(), "harbour".parse::<SiteId>().unwrap());
    replica.enrol(Identity { site: site.clone(), enrolled_at: Moment(0) }).await.unwrap();
    let cursor = Cursor { epoch: "e".parse().unwrap(), view: digest_of(b"view"), position: 0 };
    let nothing = CatchUp { entries: Vec::new(), cursor, said: Vec::new(), checkpoint: None };
    replica.apply(nothing).await.unwrap();
    let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).await.unwrap();
    let url = format!("http://{}", listener.local_addr().unwrap());
    let hub = Hub::at_kitchen(Arc::new(replica), site, None);
    tokio::spawn(hub.serve(listener, CancellationToken::new()));
    Endpoint::from_shared(url).unwrap().connect().await.unwrap()
}

/// Every method of the schema, with its service.
fn methods() -> Vec<String> {
    let set = FileDescriptorSet::decode(pb::DESCRIPTORS).unwrap();
    let services = set.file.iter().flat_map(|file| &file.service);
    let each = services.flat_map(|service| {
        service.method.iter().map(move |method| format!("{}/{}", service.name(), method.name()))
    });
    each.collect()
}

/// Calls with an empty request, whatever comes of it.
async fn call(channel: &Channel, method: &str) -> Result<(), Status> {
    let mut grpc = Grpc::new(channel.clone());
    grpc.ready().await.unwrap();
    let path: PathAndQuery = format!("/chablon.v1.{method}").parse().unwrap();
    grpc.server_streaming(Request::new(Bytes::new()), path, Raw).await.map(|_| ())
}

#[tokio::test]
async fn whatever_it_does_not_answer_is_refused_with_its_reason() {
    let channel = kitchen().await;
    for method in methods() {
        let reason = call(&channel, &method).await.map_err(|status| Refused::of(&status).reason);
        let refused = reason == Err("NOT_AT_KITCHEN".to_owned());
        let served = SERVED.iter().any(|one| method.starts_with(one));
        assert_eq!(refused, !served, "{method}: {reason:?}");
    }
    let unknown = call(&channel, "NoService/NoMethod").await.map_err(|one| Refused::of(&one));
    assert_eq!(unknown.unwrap_err().metadata.get("site").map(String::as_str), Some("harbour"));
}

#[tokio::test]
async fn its_health_is_that_of_the_services_it_has() {
    let mut health = HealthClient::new(kitchen().await);
    for (service, serves) in [
        ("", true),
        ("chablon.v1.DocumentService", true),
        ("chablon.v1.FeedService", true),
        ("chablon.v1.FigureService", true),
        ("chablon.v1.ReleaseService", false),
        ("chablon.v1.AdoptionService", false),
        ("chablon.v1.AccessService", false),
    ] {
        let request = HealthCheckRequest { service: service.to_owned() };
        let status = health.check(request).await.unwrap().into_inner().status;
        assert_eq!(status, if serves { 1 } else { 2 }, "{service}");
    }
}
