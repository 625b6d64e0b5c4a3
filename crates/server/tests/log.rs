//! What the log says, and what it never says.

use std::io;
use std::sync::{Arc, Mutex};

use chablon_model::{Audience, NextStep, Role};
use chablon_server::Access;
use chablon_testkit::{Chef, Keeping, TestHub, sample};
use chablon_wire::pb;
use chablon_wire::pb::access_service_client::AccessServiceClient;
use chablon_wire::pb::document_service_client::DocumentServiceClient;
use chablon_wire::pb::figure_service_client::FigureServiceClient;
use chablon_wire::pb::release_service_client::ReleaseServiceClient;
use chablon_wire::{AccessToken, EnrolmentCode, Wire};
use tonic::Request;
use tracing_subscriber::fmt::MakeWriter;

/// A log that is kept.
#[derive(Clone, Default)]
struct Kept(Arc<Mutex<Vec<u8>>>);

impl io::Write for Kept {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.lock().unwrap().extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl MakeWriter<'_> for Kept {
    type Writer = Self;

    fn make_writer(&self) -> Self {
        self.clone()
    }
}

/// The one test of this binary, since a log is a process's own.
#[tokio::test]
async fn calls_are_logged_and_contents_are_not() {
    let log = Kept::default();
    tracing_subscriber::fmt()
        .json()
        .with_max_level(tracing::Level::TRACE)
        .with_writer(log.clone())
        .init();
    let request_id = a_day_at_the_hub().await;
    let secrets = a_day_behind_the_gate().await;
    let text = String::from_utf8(log.0.lock().unwrap().clone()).unwrap();
    let ours: Vec<&str> =
        text.lines().filter(|line| line.contains("\"target\":\"chablon")).collect();
    let said =
        |parts: &[&str]| ours.iter().any(|line| parts.iter().all(|part| line.contains(part)));
    let request_id = format!("\"request_id\":\"{request_id}\"");
    assert!(said(&["\"method\":\"CreateRelease\"", &request_id, "\"outcome\":\"OK\""]), "{text}");
    assert!(said(&[&request_id, "\"caller\":\"Imogen Vale\"", "\"verified\":false"]));
    assert!(said(&["\"method\":\"Cost\"", "\"site\":\"harbour\"", "\"outcome\":\"OK\""]));
    assert!(said(&["\"method\":\"GetStandard\"", "\"outcome\":\"SITE_NOT_FOUND\""]));
    assert!(said(&["release recorded", "\"first_position\":1"]));
    assert!(said(&["a release addresses nobody known", "quayside"]));
    assert!(said(&["withdrawal recorded"]));
    assert!(said(&["\"caller\":\"Imogen Vale\"", "\"verified\":true", "\"outcome\":\"OK\""]));
    assert!(said(&["turned away", "/chablon.v1.AccessService/WhoAmI", "NOT_AUTHENTICATED"]));
    assert!(said(&["an account was joined", "Harbour"]));
    for secret in secrets {
        assert!(!said(&[&secret]), "the log says {secret}");
    }
    for never in ["dairy-2", "4.00", "Secret note", "Secret reason", "secret-token", "Bearer"] {
        assert!(!said(&[never]), "the log says {never:?}");
    }
}

/// Somebody lets a kitchen in, which joins, and somebody guesses; what must not be logged.
async fn a_day_behind_the_gate() -> Vec<String> {
    let hub = TestHub::builder(Keeping::Memory).access(Access::Required).start().await;
    let chef = hub.let_in("Imogen Vale", Role::Chef, None).await;
    let mut client = AccessServiceClient::new(hub.channel().await);
    let code = EnrolmentCode::from_random([9; 24]);
    let kitchen = AccessToken::new("kitchen-1", [0xab; 32]).unwrap();
    let guessed = AccessToken::new(chef.id(), [0xcd; 32]).unwrap();
    let by = |token: &AccessToken| format!("Bearer {}", token.reveal()).parse().unwrap();

    let mut request = Request::new(pb::CreateEnrolmentRequest {
        request_id: "harbour".to_owned(),
        name: "Harbour".to_owned(),
        role: pb::Role::Kitchen.into(),
        site: "harbour".to_owned(),
        code_id: code.id(),
        code_digest: code.digest().to_pb(),
        expires_at_ms: hub.clock().now().0 + 1000,
        token_expires_at_ms: None,
    });
    request.metadata_mut().insert("authorization", by(&chef));
    client.create_enrolment(request).await.unwrap();
    let (token_id, token_digest) = (kitchen.id().to_owned(), kitchen.digest().to_pb());
    let request = pb::EnrolRequest { code: code.reveal(), token_id, token_digest };
    client.enrol(request).await.unwrap();
    let mut request = Request::new(pb::WhoAmIRequest {});
    request.metadata_mut().insert("authorization", by(&guessed));
    client.who_am_i(request).await.unwrap_err();
    hub.stop().await;

    let secret = |token: &AccessToken| token.reveal().rsplit('_').next().unwrap().to_owned();
    let mut secrets: Vec<String> = [&chef, &kitchen, &guessed].map(secret).into();
    secrets.extend([code.reveal(), code.reveal().replace('-', "")]);
    secrets
}

/// A release, a withdrawal, a figure and a refusal; the name of the release's request.
async fn a_day_at_the_hub() -> String {
    let hub = TestHub::start(Keeping::Sqlite).await;
    let mut releases = ReleaseServiceClient::new(hub.channel().await);
    let mut chef = Chef::new();
    "Secret note".clone_into(&mut chef.note);
    "Secret reason".clone_into(&mut chef.reason);
    let release = chef.release(&sample::book().documents(), &Audience::All).request();
    let request_id = release.request_id.clone();
    let mut request = Request::new(release);
    request.metadata_mut().insert("chablon-caller", "Imogen%20Vale".parse().unwrap());
    let token = "Bearer secret-token".parse().unwrap();
    request.metadata_mut().insert("authorization", token);
    releases.create_release(request).await.unwrap();

    let nobody = Audience::site("quayside".parse().unwrap());
    let again = chef.release_again([chef.latest("recipe/custard").clone()], nobody);
    releases.create_release(again.request()).await.unwrap();
    let custard = chef.latest("recipe/custard");
    let withdrawal = chef.withdrawal(custard, NextStep::MakeNone, Audience::All);
    releases.create_withdrawal(withdrawal).await.unwrap();

    let one = pb::number::Form::Decimal(pb::Decimal { coefficient: 1, exponent: 0 });
    let target = pb::target::Demand::Factor(pb::Number { form: Some(one) });
    let cost = pb::CostRequest {
        site: "harbour".to_owned(),
        recipe: "custard-cream".to_owned(),
        target: Some(pb::Target { demand: Some(target) }),
        on: Some(pb::Date { year: 2026, month: 10, day: 1 }),
        at_ms: None,
    };
    FigureServiceClient::new(hub.channel().await).cost(cost).await.unwrap();
    let unknown = pb::GetStandardRequest {
        site: "quayside".to_owned(),
        document: Some(pb::DocumentName {
            kind: pb::DocumentKind::Recipe.into(),
            id: "custard".to_owned(),
        }),
        at_ms: None,
    };
    let mut documents = DocumentServiceClient::new(hub.channel().await);
    documents.get_standard(unknown).await.unwrap_err();
    hub.stop().await;
    request_id
}
