//! What the log says, and what it never says.

use std::io;
use std::sync::{Arc, Mutex};

use chablon_model::{Audience, NextStep};
use chablon_testkit::{Chef, Keeping, TestHub, sample};
use chablon_wire::pb;
use chablon_wire::pb::document_service_client::DocumentServiceClient;
use chablon_wire::pb::figure_service_client::FigureServiceClient;
use chablon_wire::pb::release_service_client::ReleaseServiceClient;
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
    for never in ["dairy-2", "4.00", "Secret note", "Secret reason", "secret-token", "Bearer"] {
        assert!(!said(&[never]), "the log says {never:?}");
    }
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
