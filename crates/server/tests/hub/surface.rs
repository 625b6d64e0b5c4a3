//! What every gRPC server should have: health, reflection, deadlines, plain refusals.

use std::time::Duration;

use chablon_model::{Audience, NextStep};
use chablon_server::HubConfig;
use chablon_testkit::{Chef, Keeping, TestHub, frozen, sample};
use chablon_wire::pb;
use prost::Message as _;
use prost_types::FileDescriptorSet;
use sqlx::ConnectOptions as _;
use sqlx::sqlite::SqliteConnectOptions;
use tokio_stream::StreamExt;
use tonic::Code;
use tonic_health::pb::HealthCheckRequest;
use tonic_health::pb::health_client::HealthClient;
use tonic_reflection::pb::v1::server_reflection_client::ServerReflectionClient;
use tonic_reflection::pb::v1::server_reflection_request::MessageRequest;
use tonic_reflection::pb::v1::server_reflection_response::MessageResponse;
use tonic_reflection::pb::v1::{ServerReflectionRequest, ServerReflectionResponse};

use crate::support::{Kit, refused};

/// Every service of the schema.
fn services() -> Vec<String> {
    let set = FileDescriptorSet::decode(pb::DESCRIPTORS).unwrap();
    let services = set.file.iter().flat_map(|file| {
        file.service.iter().map(|service| format!("{}.{}", file.package(), service.name()))
    });
    services.collect()
}

#[tokio::test]
async fn every_service_says_that_it_serves() {
    let hub = TestHub::start(Keeping::Memory).await;
    let mut health = HealthClient::new(hub.channel().await);
    for service in services().into_iter().chain([String::new()]) {
        let request = HealthCheckRequest { service: service.clone() };
        let answer = health.check(request).await.unwrap().into_inner();
        assert_eq!(answer.status, 1, "{service}");
    }
    let unknown = HealthCheckRequest { service: "chablon.v1.NoService".to_owned() };
    assert_eq!(health.check(unknown).await.unwrap_err().code(), Code::NotFound);
}

async fn reflect(hub: &TestHub, ask: MessageRequest) -> MessageResponse {
    let request = ServerReflectionRequest { host: String::new(), message_request: Some(ask) };
    let mut client = ServerReflectionClient::new(hub.channel().await);
    let answers = client.server_reflection_info(tokio_stream::iter([request])).await.unwrap();
    let answers: Vec<ServerReflectionResponse> =
        answers.into_inner().map(Result::unwrap).collect().await;
    answers.into_iter().next().unwrap().message_response.unwrap()
}

#[tokio::test]
async fn the_schema_can_be_asked_for() {
    let hub = TestHub::start(Keeping::Memory).await;
    let ask = MessageRequest::ListServices(String::new());
    let MessageResponse::ListServicesResponse(list) = reflect(&hub, ask).await else {
        panic!("no list of services")
    };
    let names: Vec<String> = list.service.into_iter().map(|service| service.name).collect();
    for service in services() {
        assert!(names.contains(&service), "{service} is missing from {names:?}");
    }
    let ask = MessageRequest::FileContainingSymbol("chablon.v1.ReleaseManifest".to_owned());
    let found = reflect(&hub, ask).await;
    assert!(matches!(found, MessageResponse::FileDescriptorResponse(_)), "{found:?}");
}

#[tokio::test]
async fn a_call_has_a_deadline_of_the_hubs_own() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("hub.db");
    let config = HubConfig { call_deadline: Duration::from_millis(100), ..HubConfig::default() };
    let mut kit = Kit::start_with(Keeping::SqliteAt(path.clone()), config).await;
    // Another program writes to the file, so that a change waits for longer than that.
    let mut other = SqliteConnectOptions::new().filename(&path).connect().await.unwrap();
    sqlx::query("BEGIN IMMEDIATE").execute(&mut other).await.unwrap();
    let release = Chef::new().release(&sample::book().documents(), &Audience::All);
    let status = kit.releases.create_release(release.request()).await.unwrap_err();
    assert_eq!(status.code(), Code::DeadlineExceeded, "{status:?}");
    sqlx::query("ROLLBACK").execute(&mut other).await.unwrap();
}

#[tokio::test]
async fn a_name_that_is_none_is_refused() {
    let mut kit = Kit::start(Keeping::Memory).await;
    for odd in ["", "%20", "a%0Ab", "%FF"] {
        let mut request = tonic::Request::new(pb::GetFeedStateRequest::default());
        request.metadata_mut().insert("chablon-caller", odd.parse().unwrap());
        refused(kit.feed.get_feed_state(request).await)
            .is(Code::InvalidArgument, "INVALID_REQUEST", &[])
            .at(&["chablon-caller"]);
    }
}

#[tokio::test]
async fn an_empty_hub_answers() {
    let mut kit = Kit::start(Keeping::Memory).await;
    let page = kit.changes("", None, 0).await.unwrap();
    assert_eq!((page.entries.len(), page.more, page.next.unwrap().position), (0, false, 0));
    let releases = kit.releases.list_releases(pb::ListReleasesRequest::default()).await.unwrap();
    assert_eq!(releases.into_inner(), pb::ListReleasesResponse::default());
    let adoption = kit.adoption.list_adoption(pb::ListAdoptionRequest::default()).await.unwrap();
    assert_eq!(adoption.into_inner(), pb::ListAdoptionResponse::default());
}

#[tokio::test]
async fn a_refusal_is_told_however_much_there_is_to_tell() {
    let mut kit = Kit::start(Keeping::Memory).await;
    let (chef, _) = kit.release_book().await;
    let mut wordy = chef.clone();
    wordy.reason = "é".repeat(300_000);
    let custard = chef.latest("recipe/custard");
    let request = wordy.withdrawal(custard, NextStep::MakeNone, Audience::All);
    kit.releases.create_withdrawal(request).await.unwrap();
    let request = pb::ScaleRequest {
        site: "harbour".to_owned(),
        recipe: "custard".to_owned(),
        target: Some(pb::Target {
            demand: Some(pb::target::Demand::Factor(pb::Number {
                form: Some(pb::number::Form::Decimal(pb::Decimal { coefficient: 1, exponent: 0 })),
            })),
        }),
        at_ms: None,
    };
    let refusal = refused(kit.figures.scale(request).await);
    refusal.is(Code::FailedPrecondition, "WITHDRAWN", &[("document", "recipe/custard")]);
    assert!(refusal.metadata["reason"].starts_with("ééé"));

    let odd = pb::Revision {
        schema_version: 1,
        kind: pb::DocumentKind::Recipe.into(),
        id: "é".repeat(500_000),
        ..Default::default()
    };
    let odd = frozen(prost::Message::encode_to_vec(&odd));
    let mut release = chef.release_again([custard.clone()], Audience::All).request();
    release.revisions = vec![odd; 16];
    let refusal = refused(kit.releases.create_release(release).await);
    refusal.is(Code::InvalidArgument, "INVALID_CONTENT", &[]);
    assert!(refusal.paths.len() > 1, "{refusal:?}");
}
