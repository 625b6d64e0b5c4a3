//! Joining, letting in and shutting out.

use chablon_wire::pb::access_service_client::AccessServiceClient;
use chablon_wire::{AccessToken, Account, EnrolmentCode, Identity, Wire, pb, role_code};

use super::{Grpc, Link, MAX_ANSWER_BYTES, each, given};
use crate::Error;
use crate::access::{Invitation, Shut};
use crate::hub::Page;

fn client(link: Link) -> AccessServiceClient<Link> {
    AccessServiceClient::new(link).max_decoding_message_size(MAX_ANSWER_BYTES)
}

pub(super) async fn invite(
    hub: &Grpc,
    id: &str,
    whom: &Invitation,
    code: &EnrolmentCode,
) -> Result<Account, Error> {
    let request = hub.request(pb::CreateEnrolmentRequest {
        request_id: id.to_owned(),
        name: whom.name.to_string(),
        role: role_code(whom.role),
        site: whom.site.as_ref().map(ToString::to_string).unwrap_or_default(),
        code_id: code.id(),
        code_digest: code.digest().to_pb(),
        expires_at_ms: whom.expires_at.0,
        token_expires_at_ms: whom.token_expires_at.map(|at| at.0),
    });
    let answer =
        hub.attempt(|link| async move { client(link).create_enrolment(request).await }).await?;
    account(answer.account)
}

pub(super) async fn join(
    hub: &Grpc,
    code: &EnrolmentCode,
    token: &AccessToken,
) -> Result<Account, Error> {
    let request = hub.request(pb::EnrolRequest {
        code: code.reveal(),
        token_id: token.id().to_owned(),
        token_digest: token.digest().to_pb(),
    });
    let answer = hub.attempt(|link| async move { client(link).enrol(request).await }).await?;
    account(answer.account)
}

pub(super) async fn list(hub: &Grpc, page: &str) -> Result<Page<Account>, Error> {
    let request = hub.request(pb::ListAccountsRequest {
        page_size: hub.options.page_size,
        page_token: page.to_owned(),
    });
    let answer =
        hub.attempt(|link| async move { client(link).list_accounts(request).await }).await?;
    Ok(Page { items: each(answer.accounts, Account::from_pb)?, next: answer.next_page_token })
}

pub(super) async fn shut_out(hub: &Grpc, id: &str, what: &Shut) -> Result<(), Error> {
    let request_id = id.to_owned();
    match what {
        Shut::Token(token_id) => {
            let token_id = token_id.clone();
            let request = hub.request(pb::RevokeTokenRequest { request_id, token_id });
            hub.attempt(|link| async move { client(link).revoke_token(request).await }).await?;
        }
        Shut::Account(name) => {
            let name = name.to_string();
            let request = hub.request(pb::RevokeAccountRequest { request_id, name });
            hub.attempt(|link| async move { client(link).revoke_account(request).await }).await?;
        }
    }
    Ok(())
}

pub(super) async fn who_am_i(hub: &Grpc) -> Result<Identity, Error> {
    let request = hub.request(pb::WhoAmIRequest {});
    let answer = hub.attempt(|link| async move { client(link).who_am_i(request).await }).await?;
    Identity::from_pb(answer).map_err(|violation| Error::of_answer(&violation))
}

fn account(answer: Option<pb::Account>) -> Result<Account, Error> {
    let account = Account::from_pb(given(answer, "account")?);
    account.map_err(|violation| Error::of_answer(&violation))
}
