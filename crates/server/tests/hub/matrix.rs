//! Every call by everyone: who is let in, and who is not.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{
    Audience, Decision, Departure, Deviation, DeviationLimits, LineRef, Moment, NewAmount,
    NextStep, RevisionRef, Role, Uses,
};
use chablon_server::Access;
use chablon_store::{Actor, Request as StoreRequest, Revocation, Revoked, digest_of};
use chablon_testkit::{Chef, Keeping, TestClock, TestHub, frozen, sample};
use chablon_wire::{AccessToken, Wire, encode_deviation, pb};
use prost::Message;
use prost_types::FileDescriptorSet;
use tokio_stream::StreamExt;
use tonic::client::Grpc;
use tonic::codegen::Bytes;
use tonic::codegen::http::uri::PathAndQuery;
use tonic::{Code, Request, Status};

use crate::raw::Raw;
use crate::support::Refused;

/// Those who call. The kitchen and the second reader belong to the harbour.
const CALLERS: [&str; 5] = ["chef", "deputy", "kitchen", "reader", "harbour-reader"];

/// Those who are never let in, and why.
const STRANGERS: [(&str, &str); 5] = [
    ("nobody", "missing"),
    ("guesser", "unknown"),
    ("forger", "malformed"),
    ("revoked", "revoked"),
    ("expired", "expired"),
];

/// One call: its method, what is asked, and who may.
struct Row {
    method: &'static str,
    about: &'static str,
    request: Vec<u8>,
    may: &'static [&'static str],
}

fn row(
    method: &'static str,
    about: &'static str,
    request: &impl Message,
    may: &'static [&'static str],
) -> Row {
    Row { method, about, request: request.encode_to_vec(), may }
}

const REVIEWERS: &[&str] = &["chef", "deputy"];
const GROUP: &[&str] = &["chef", "deputy", "reader"];
const HARBOUR: &[&str] = &["chef", "deputy", "kitchen", "reader", "harbour-reader"];

/// What a call about a site asks, for the three readers' views that there are.
fn by_view<M: Message>(method: &'static str, ask: impl Fn(String) -> M) -> Vec<Row> {
    vec![
        row(method, "the whole", &ask(String::new()), GROUP),
        row(method, "harbour", &ask("harbour".to_owned()), HARBOUR),
        row(method, "station", &ask("station".to_owned()), GROUP),
    ]
}

/// The same for calls that are always about a site.
fn by_site<M: Message>(method: &'static str, ask: impl Fn(String) -> M) -> Vec<Row> {
    by_view(method, ask).into_iter().skip(1).collect()
}

#[expect(clippy::too_many_lines, reason = "one line for each call there is")]
fn rows(chef: &Chef) -> Vec<Row> {
    let custard = chef.latest("recipe/custard");
    let digest = custard.digest.to_pb();
    let one = pb::number::Form::Decimal(pb::Decimal { coefficient: 1, exponent: 0 });
    let target =
        pb::Target { demand: Some(pb::target::Demand::Factor(pb::Number { form: Some(one) })) };
    let document = Some(custard.key.to_pb());
    let release = chef.release_again([custard.clone()], Audience::All).request();
    let withdrawal = chef.withdrawal(custard, NextStep::MakeNone, Audience::All);
    let at_ms = None;
    let acknowledge = |site: &str| pb::AcknowledgeRequest {
        acknowledgements: vec![pb::Acknowledgement {
            site: site.to_owned(),
            position: 1,
            body_digest: digest.clone(),
            statement: pb::AdoptionStatement::Received.into(),
            at_ms: 0,
            reason: String::new(),
        }],
    };
    let enrolment = pb::CreateEnrolmentRequest {
        request_id: "e".to_owned(),
        name: "Somebody".to_owned(),
        role: pb::Role::Reader.into(),
        site: String::new(),
        code_id: "7KQD3MXP".to_owned(),
        code_digest: digest.clone(),
        expires_at_ms: start() + 60_000,
        token_expires_at_ms: None,
    };
    let enrol = pb::EnrolRequest {
        code: "7KQD-3MXP-9F2H-TT4V-0A1B-C2D3".to_owned(),
        token_id: "t".to_owned(),
        token_digest: digest.clone(),
    };
    let revoke_token =
        pb::RevokeTokenRequest { request_id: "t".to_owned(), token_id: "none".to_owned() };
    let revoke_account =
        pb::RevokeAccountRequest { request_id: "a".to_owned(), name: "None".to_owned() };
    let ask = |site: &str| pb::AskDeviationRequest {
        deviation: Some(frozen(encode_deviation(&deviation(site, custard)))),
    };
    let decide = pb::DecideDeviationRequest {
        request_id: "d".to_owned(),
        deviation: Some(frozen(encode_deviation(&deviation("harbour", custard)))),
        seen_digest: digest.clone(),
    };
    let note_lot = |site: &str| pb::NoteLotRequest {
        request_id: "l".to_owned(),
        note: Some(pb::LotNote {
            site: site.to_owned(),
            ingredient: "milk-whole".to_owned(),
            supplier: String::new(),
            lot: "L 1".to_owned(),
            event: pb::LotEvent::Used.into(),
            at_ms: 0,
            author: "Somebody".to_owned(),
        }),
    };
    let mut rows = vec![
        row("LotService/NoteLot", "harbour", &note_lot("harbour"), &["chef", "deputy", "kitchen"]),
        row("LotService/NoteLot", "station", &note_lot("station"), &["chef", "deputy"]),
        row("DeviationService/AskDeviation", "harbour", &ask("harbour"), &["kitchen"]),
        row("DeviationService/AskDeviation", "station", &ask("station"), &[]),
        row("DeviationService/DecideDeviation", "", &decide, &["chef"]),
        row("DraftService/CreateDraft", "", &pb::CreateDraftRequest::default(), &["chef"]),
        row("DraftService/GetDraft", "", &pb::GetDraftRequest::default(), REVIEWERS),
        row("DraftService/ListDrafts", "", &pb::ListDraftsRequest::default(), REVIEWERS),
        row("DraftService/UpdateDraft", "", &pb::UpdateDraftRequest::default(), &["chef"]),
        row("DraftService/CheckDraft", "", &pb::CheckDraftRequest::default(), REVIEWERS),
        row("DraftService/SubmitDraft", "", &pb::SubmitDraftRequest::default(), &["chef"]),
        row("DraftService/ReviewDraft", "", &pb::ReviewDraftRequest::default(), REVIEWERS),
        row("DraftService/DropDraft", "", &pb::DropDraftRequest::default(), &["chef"]),
        row("DraftService/ReleaseDraft", "", &pb::ReleaseDraftRequest::default(), &["chef"]),
        row(
            "AuditService/ListAuditRecords",
            "",
            &pb::ListAuditRecordsRequest::default(),
            REVIEWERS,
        ),
        row("ReleaseService/CreateRelease", "", &release, &["chef"]),
        row("ReleaseService/CreateWithdrawal", "", &withdrawal, &["chef", "deputy"]),
        row("AdoptionService/Acknowledge", "harbour", &acknowledge("harbour"), &["kitchen"]),
        row("AdoptionService/Acknowledge", "station", &acknowledge("station"), &[]),
        row("AccessService/CreateEnrolment", "", &enrolment, &["chef"]),
        row("AccessService/Enrol", "", &enrol, &[]),
        row("AccessService/ListAccounts", "", &pb::ListAccountsRequest::default(), &["chef"]),
        row("AccessService/RevokeToken", "", &revoke_token, &["chef"]),
        row("AccessService/RevokeAccount", "", &revoke_account, &["chef"]),
        row("TrustService/ListRoots", "", &pb::ListRootsRequest::default(), &CALLERS),
        row("TrustService/AddRoot", "", &pb::AddRootRequest::default(), &["chef"]),
        row("TrustService/SignEntries", "", &pb::SignEntriesRequest::default(), &["chef"]),
        row("AccessService/WhoAmI", "", &pb::WhoAmIRequest {}, &CALLERS),
    ];
    rows.extend(by_view("ReleaseService/ListReleases", |site| pb::ListReleasesRequest {
        site,
        ..Default::default()
    }));
    rows.extend(by_view("DeviationService/ListDeviations", |site| pb::ListDeviationsRequest {
        site,
        ..Default::default()
    }));
    rows.extend(by_view("LotService/ListLotNotes", |site| pb::ListLotNotesRequest {
        site,
        ..Default::default()
    }));
    rows.extend(by_view("FeedService/GetFeedState", |site| pb::GetFeedStateRequest { site }));
    rows.extend(by_view("FeedService/ListChanges", |site| pb::ListChangesRequest {
        site,
        ..Default::default()
    }));
    rows.extend(by_view("FeedService/WatchChanges", |site| pb::WatchChangesRequest {
        site,
        after: None,
    }));
    rows.extend(by_view("DocumentService/ListDocuments", |site| pb::ListDocumentsRequest {
        site,
        ..Default::default()
    }));
    rows.extend(by_view("DocumentService/GetRevision", |site| pb::GetRevisionRequest {
        site,
        digest: digest.clone(),
    }));
    rows.extend(by_view("DocumentService/BatchGetRevisions", |site| {
        pb::BatchGetRevisionsRequest {
            site,
            digests: vec![digest.clone()],
            packed: true,
            compressed: false,
        }
    }));
    rows.extend(by_view("AdoptionService/ListAdoption", |site| pb::ListAdoptionRequest {
        site,
        ..Default::default()
    }));
    rows.extend(by_site("DocumentService/GetStandard", |site| pb::GetStandardRequest {
        site,
        document: document.clone(),
        at_ms,
    }));
    rows.extend(by_site("DocumentService/ListStandards", |site| pb::ListStandardsRequest {
        site,
        ..Default::default()
    }));
    rows.extend(by_site("FigureService/Scale", |site| pb::ScaleRequest {
        site,
        recipe: "custard".to_owned(),
        target: Some(target.clone()),
        at_ms,
    }));
    rows.extend(by_site("FigureService/Cost", |site| pb::CostRequest {
        site,
        recipe: "custard".to_owned(),
        target: Some(target.clone()),
        on: Some(pb::Date { year: 2026, month: 10, day: 1 }),
        at_ms,
    }));
    rows.extend(by_site("FigureService/DeclareRecipe", |site| pb::DeclareRecipeRequest {
        site,
        recipe: "custard".to_owned(),
        emphasised: Vec::new(),
        at_ms,
    }));
    let products =
        || vec![pb::ProductDemand { recipe: "custard".to_owned(), target: Some(target.clone()) }];
    rows.extend(by_site("FigureService/ShockPrices", |site| pb::ShockPricesRequest {
        site,
        on: Some(pb::Date { year: 2026, month: 10, day: 1 }),
        moved: Some(pb::shock_prices_request::Moved::Since(pb::Date {
            year: 2026,
            month: 1,
            day: 1,
        })),
        at_ms,
    }));
    rows.extend(by_site("FigureService/ScaleAll", |site| pb::ScaleAllRequest {
        site,
        products: products(),
        at_ms,
    }));
    rows.extend(by_site("FigureService/CostAll", |site| pb::CostAllRequest {
        site,
        products: products(),
        on: Some(pb::Date { year: 2026, month: 10, day: 1 }),
        at_ms,
    }));
    rows
}

/// A site asks to make the custard with less milk.
fn deviation(site: &str, based_on: &RevisionRef) -> Deviation {
    let uses = Uses::Ingredient("milk-whole".parse().unwrap());
    let to = NewAmount::Times("0.9".parse().unwrap());
    Deviation {
        id: format!("{site}-less-milk").parse().unwrap(),
        site: site.parse().unwrap(),
        based_on: based_on.clone(),
        departures: vec![Departure::Amount { line: LineRef { number: 1, uses }, to }],
        limits: DeviationLimits::default(),
        from: Moment(start()),
        until: Moment(start() + 60_000),
        reason: "Less milk came".to_owned(),
        decision: Decision::Asked,
    }
}

/// The time at which a hub under test begins.
fn start() -> i64 {
    TestClock::default().now().0
}

/// Every method of every service of the schema.
fn methods() -> BTreeSet<String> {
    let set = FileDescriptorSet::decode(pb::DESCRIPTORS).unwrap();
    let services = set.file.iter().flat_map(|file| &file.service);
    let each = services.flat_map(|service| {
        service.method.iter().map(move |method| format!("{}/{}", service.name(), method.name()))
    });
    each.collect()
}

/// Calls as the schema has it, whatever comes of it; the answer's first message or the refusal.
async fn call(hub: &TestHub, row: &Row, header: Option<&str>) -> Result<(), Status> {
    let mut grpc = Grpc::new(hub.channel().await);
    grpc.ready().await.unwrap();
    let mut request = Request::new(Bytes::from(row.request.clone()));
    if let Some(header) = header {
        request.metadata_mut().insert("authorization", header.parse().unwrap());
    }
    let path: PathAndQuery = format!("/chablon.v1.{}", row.method).parse().unwrap();
    let mut answers = grpc.server_streaming(request, path, Raw).await?.into_inner();
    answers.next().await.transpose().map(|_| ())
}

async fn everyone(hub: &TestHub) -> BTreeMap<&'static str, AccessToken> {
    let mut tokens = BTreeMap::new();
    for (name, role, site) in [
        ("chef", Role::Chef, None),
        ("deputy", Role::Deputy, None),
        ("kitchen", Role::Kitchen, Some("harbour")),
        ("reader", Role::Reader, None),
        ("harbour-reader", Role::Reader, Some("harbour")),
    ] {
        tokens.insert(name, hub.let_in(name, role, site).await);
    }
    tokens
}

/// What the strangers send.
async fn strangers(hub: &TestHub) -> BTreeMap<&'static str, Option<String>> {
    let bearer = |token: &AccessToken| Some(format!("Bearer {}", token.reveal()));
    let now = start();
    let soon = Some(Moment(now + 1));
    let expired = hub.let_in_until("expired", Role::Chef, None, soon).await;
    let revoked = hub.let_in("revoked", Role::Chef, None).await;
    let guessed = AccessToken::new(revoked.id(), [7; 32]).unwrap();
    let request = StoreRequest { id: "out".parse().unwrap(), digest: digest_of(b"out") };
    let what = Revoked::Token(revoked.id().parse().unwrap());
    let by = Actor { name: "chef".to_owned(), role: Some(Role::Chef) };
    hub.store().revoke(Revocation { request, at: Moment(now), by, what }).await.unwrap();
    hub.clock().set(Moment(now + 1000));
    BTreeMap::from([
        ("nobody", None),
        ("guesser", bearer(&guessed)),
        ("forger", Some("Bearer chablon_x".to_owned())),
        ("revoked", bearer(&revoked)),
        ("expired", bearer(&expired)),
    ])
}

async fn hub_with_book(access: Access) -> (TestHub, Chef) {
    let hub = TestHub::builder(Keeping::Sqlite).access(access).start().await;
    let mut chef = Chef::new();
    let token = hub.let_in("first chef", Role::Chef, None).await;
    let release = chef.release(&sample::book().documents(), &Audience::All).request();
    let row = row("ReleaseService/CreateRelease", "", &release, &[]);
    call(&hub, &row, Some(&format!("Bearer {}", token.reveal()))).await.unwrap();
    (hub, chef)
}

#[tokio::test]
async fn everyone_may_do_what_their_role_may_and_nothing_else() {
    let (hub, chef) = hub_with_book(Access::Required).await;
    let rows = rows(&chef);
    let known: BTreeSet<String> = rows.iter().map(|row| row.method.to_owned()).collect();
    assert_eq!(known, methods(), "every call has a row");
    let (tokens, strangers) = (everyone(&hub).await, strangers(&hub).await);
    for row in rows {
        let what = format!("{} {}", row.method, row.about);
        for caller in CALLERS {
            let header = format!("Bearer {}", tokens[caller].reveal());
            let answer = call(&hub, &row, Some(&header)).await;
            let refused = answer.as_ref().err().map(Refused::of);
            let denied = refused.as_ref().is_some_and(|refused| refused.reason == "NOT_ALLOWED");
            let enrol = row.method == "AccessService/Enrol";
            assert_eq!(
                denied,
                !row.may.contains(&caller) && !enrol,
                "{what} by {caller}: {answer:?}"
            );
            if denied {
                let refused = refused.unwrap();
                assert_eq!(refused.code, Code::PermissionDenied);
                let role = caller.strip_prefix("harbour-").unwrap_or(caller);
                assert_eq!(refused.metadata["role"], role);
            }
        }
        for (stranger, why) in STRANGERS {
            let answer = call(&hub, &row, strangers[stranger].as_deref()).await;
            let refused = Refused::of(&answer.expect_err("nobody knows a stranger"));
            if row.method == "AccessService/Enrol" {
                refused.is(Code::PermissionDenied, "CODE_REFUSED", &[]);
            } else {
                refused.is(Code::Unauthenticated, "NOT_AUTHENTICATED", &[("why", why)]);
            }
        }
    }
}

#[tokio::test]
async fn an_open_hub_asks_nobody() {
    let (hub, chef) = hub_with_book(Access::Open).await;
    for row in rows(&chef) {
        let answer = call(&hub, &row, None).await;
        let refused = answer.err().map(|status| Refused::of(&status).reason);
        let shut = ["NOT_ALLOWED", "NOT_AUTHENTICATED"];
        assert!(refused.is_none_or(|reason| !shut.contains(&&*reason)), "{}", row.method);
    }
}
