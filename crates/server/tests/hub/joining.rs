//! Joining by a code, and being shut out.

use std::time::Duration;

use chablon_model::{Moment, Role};
use chablon_server::{Access, HubConfig};
use chablon_testkit::{Keeping, TestClock, TestHub};
use chablon_wire::pb::access_service_client::AccessServiceClient;
use chablon_wire::pb::document_service_client::DocumentServiceClient;
use chablon_wire::pb::feed_service_client::FeedServiceClient;
use chablon_wire::{AccessToken, EnrolmentCode, Wire, pb};
use test_case::test_case;
use tokio_stream::StreamExt;
use tonic::transport::Channel;
use tonic::{Code, Request};

use crate::support::{Inner, refused};

async fn hub(keeping: Keeping) -> (TestHub, AccessServiceClient<Channel>, AccessToken) {
    let config = HubConfig { poll_every: Duration::from_millis(50), ..HubConfig::default() };
    let builder = TestHub::builder(keeping).config(config);
    let hub = builder.access(Access::Required).start().await;
    let chef = hub.let_in("Imogen Vale", Role::Chef, None).await;
    let client = AccessServiceClient::new(hub.channel().await);
    (hub, client, chef)
}

/// The time at which a hub under test begins.
fn start() -> i64 {
    TestClock::default().now().0
}

/// A call by whoever has a token.
fn by<M>(token: &AccessToken, message: M) -> Request<M> {
    let mut request = Request::new(message);
    let header = format!("Bearer {}", token.reveal());
    request.metadata_mut().insert("authorization", header.parse().unwrap());
    request
}

fn code(seed: u8) -> EnrolmentCode {
    EnrolmentCode::from_random(std::array::from_fn(|n| u8::try_from(n).unwrap() + seed))
}

fn enrolment(code: &EnrolmentCode) -> pb::CreateEnrolmentRequest {
    pb::CreateEnrolmentRequest {
        request_id: format!("request-{}", code.id()),
        name: "Harbour, cold kitchen".to_owned(),
        role: pb::Role::Kitchen.into(),
        site: "harbour".to_owned(),
        code_id: code.id(),
        code_digest: code.digest().to_pb(),
        expires_at_ms: start() + 60_000,
        token_expires_at_ms: None,
    }
}

fn enrol(code: &EnrolmentCode, token: &AccessToken) -> pb::EnrolRequest {
    pb::EnrolRequest {
        code: code.reveal().to_lowercase(),
        token_id: token.id().to_owned(),
        token_digest: token.digest().to_pb(),
    }
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn a_kitchen_joins_once_by_a_code(keeping: Keeping) {
    let (hub, mut client, chef) = hub(keeping).await;
    let code = code(1);
    let asked = enrolment(&code);
    let made = client.create_enrolment(by(&chef, asked.clone())).await.inner().unwrap();
    let again = client.create_enrolment(by(&chef, asked)).await.inner().unwrap();
    assert_eq!(made, again, "the same request gets the same answer");

    let token = AccessToken::new("kitchen-1", [5; 32]).unwrap();
    let joined = client.enrol(enrol(&code, &token)).await.inner().unwrap();
    assert_eq!(joined.account.unwrap().name, "Harbour, cold kitchen");
    client.enrol(enrol(&code, &token)).await.expect("an answer may be lost on the way");
    let other = AccessToken::new("kitchen-2", [6; 32]).unwrap();
    refused(client.enrol(enrol(&code, &other)).await).is(
        Code::PermissionDenied,
        "CODE_REFUSED",
        &[("why", "spent")],
    );

    let who = client.who_am_i(by(&token, pb::WhoAmIRequest {})).await.inner().unwrap();
    let expected = pb::WhoAmIResponse {
        name: "Harbour, cold kitchen".to_owned(),
        verified: true,
        role: pb::Role::Kitchen.into(),
        site: "harbour".to_owned(),
    };
    assert_eq!(who, expected);
    let list = by(&chef, pb::ListAccountsRequest { page_size: 1, ..Default::default() });
    let page = client.list_accounts(list).await.inner().unwrap();
    assert_eq!(page.accounts[0].tokens[0].id, "kitchen-1");
    let page_token = page.next_page_token;
    let list = by(&chef, pb::ListAccountsRequest { page_size: 1, page_token });
    let page = client.list_accounts(list).await.inner().unwrap();
    assert_eq!(page.accounts[0].name, "Imogen Vale");
    hub.stop().await;
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn codes_end_and_are_not_guessed(keeping: Keeping) {
    let (hub, mut client, chef) = hub(keeping).await;
    let token = AccessToken::new("kitchen-1", [5; 32]).unwrap();
    let why = |why| [("why", why)];
    refused(client.enrol(enrol(&code(1), &token)).await).is(
        Code::PermissionDenied,
        "CODE_REFUSED",
        &why("unknown"),
    );
    client.create_enrolment(by(&chef, enrolment(&code(1)))).await.unwrap();
    let mut guess = enrol(&code(1), &token);
    guess.code.replace_range(28.., "0");
    for _ in 0..5 {
        let answer = refused(client.enrol(guess.clone()).await);
        answer.is(Code::PermissionDenied, "CODE_REFUSED", &why("unknown"));
    }
    for either in [guess, enrol(&code(1), &token)] {
        let answer = refused(client.enrol(either).await);
        answer.is(Code::PermissionDenied, "CODE_REFUSED", &why("void"));
    }
    client.create_enrolment(by(&chef, enrolment(&code(2)))).await.unwrap();
    hub.clock().set(Moment(start() + 60_000));
    let answer = refused(client.enrol(enrol(&code(2), &token)).await);
    answer.is(Code::PermissionDenied, "CODE_REFUSED", &why("expired"));
}

/// What was tried too often isn't even looked at, not even the right code; a while later it is.
#[tokio::test]
async fn trying_codes_is_held_up() {
    let (hub, mut client, chef) = hub(Keeping::Memory).await;
    client.create_enrolment(by(&chef, enrolment(&code(1)))).await.unwrap();
    let token = AccessToken::new("kitchen-1", [5; 32]).unwrap();
    for seed in 2..12 {
        let answer = refused(client.enrol(enrol(&code(seed), &token)).await);
        answer.is(Code::PermissionDenied, "CODE_REFUSED", &[("why", "unknown")]);
    }
    hub.clock().set(Moment(start() + 18_001));
    let held_up = refused(client.enrol(enrol(&code(1), &token)).await);
    let when = [("retry_after_ms", "41999")];
    held_up.is(Code::ResourceExhausted, "TOO_MANY_GUESSES", &when);
    hub.clock().set(Moment(start() + 60_000));
    let renewed =
        pb::CreateEnrolmentRequest { expires_at_ms: start() + 120_000, ..enrolment(&code(20)) };
    client.create_enrolment(by(&chef, renewed)).await.unwrap();
    client.enrol(enrol(&code(20), &token)).await.expect("the time is over");
}

/// A way to spoil a request; the second argument is the time.
type Spoil = fn(&mut pb::CreateEnrolmentRequest, i64);

#[tokio::test]
async fn what_an_enrolment_asks_is_checked() {
    let (_hub, mut client, chef) = hub(Keeping::Memory).await;
    let good = enrolment(&code(1));
    let start = start();
    let cases: [(&str, Spoil); 9] = [
        ("request_id", |request, _| request.request_id.clear()),
        ("name", |request, _| request.name = " Harbour".to_owned()),
        ("role", |request, _| request.role = 0),
        ("site", |request, _| request.site.clear()),
        ("site", |request, _| request.role = pb::Role::Chef.into()),
        ("code_id", |request, _| request.code_id = "7KQD3MXU".to_owned()),
        ("code_digest", |request, _| request.code_digest = vec![1].into()),
        ("expires_at_ms", |request, start| request.expires_at_ms = start),
        ("expires_at_ms", |request, start| request.expires_at_ms = start + 32 * 86_400_000),
    ];
    for (field, spoil) in cases {
        let mut request = good.clone();
        spoil(&mut request, start);
        refused(client.create_enrolment(by(&chef, request)).await)
            .is(Code::InvalidArgument, "INVALID_REQUEST", &[])
            .at(&[field]);
    }
    let taken = pb::CreateEnrolmentRequest { name: "Imogen Vale".to_owned(), ..good };
    refused(client.create_enrolment(by(&chef, taken)).await).is(
        Code::AlreadyExists,
        "NAME_TAKEN",
        &[("kind", "account"), ("name", "Imogen Vale")],
    );
}

#[test_case(Keeping::Memory; "memory")]
#[test_case(Keeping::Sqlite; "sqlite")]
#[tokio::test]
async fn who_is_shut_out_hears_no_more(keeping: Keeping) {
    let (hub, mut client, chef) = hub(keeping).await;
    let reader = hub.let_in("Ledger", Role::Reader, None).await;
    let mut feed = FeedServiceClient::new(hub.channel().await);
    let request = by(&reader, pb::WatchChangesRequest::default());
    let mut watch = feed.watch_changes(request).await.unwrap().into_inner();
    watch.next().await.unwrap().unwrap();

    let request_id = "out".to_owned();
    let out = pb::RevokeTokenRequest { request_id, token_id: reader.id().to_owned() };
    client.revoke_token(by(&chef, out.clone())).await.unwrap();
    client.revoke_token(by(&chef, out)).await.expect("once more is no harm");
    let within = Duration::from_secs(5);
    let ended = tokio::time::timeout(within, watch.next()).await.expect("the watch ends");
    refused(ended.unwrap()).is(Code::Unauthenticated, "NOT_AUTHENTICATED", &[("why", "revoked")]);
    let again = by(&reader, pb::GetFeedStateRequest::default());
    refused(feed.get_feed_state(again).await).is(Code::Unauthenticated, "NOT_AUTHENTICATED", &[]);

    let name = "Imogen Vale".to_owned();
    let out = pb::RevokeAccountRequest { request_id: "all".to_owned(), name };
    client.revoke_account(by(&chef, out)).await.expect("even oneself");
    let list = by(&chef, pb::ListAccountsRequest::default());
    refused(client.list_accounts(list).await).is(
        Code::Unauthenticated,
        "NOT_AUTHENTICATED",
        &[("why", "revoked")],
    );
}

#[tokio::test]
async fn a_use_is_noted() {
    let (hub, _, chef) = hub(Keeping::Sqlite).await;
    let mut documents = DocumentServiceClient::new(hub.channel().await);
    documents.list_documents(by(&chef, pb::ListDocumentsRequest::default())).await.unwrap();
    let id = chef.id().parse().unwrap();
    for _ in 0..100 {
        let kept = hub.store().token(&id).await.unwrap().unwrap();
        if kept.record.last_used_at == Some(Moment(start())) {
            return;
        }
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
    panic!("nobody noted it");
}
