//! Joining, letting in and shutting out.

use std::net::IpAddr;
use std::sync::Arc;

use chablon_exchange::{AccessError, EnrolmentRequest};
use chablon_model::{ActorName, Moment, Role, SiteId};
use chablon_store::{
    AccessRefusal, Account, AccountRecord, NewToken, Revoked, TokenId, TokenRecord,
};
use chablon_wire::pb::access_service_server::AccessService;
use chablon_wire::{
    AccessToken, AccountToken, At, EnrolmentCode, Identity, Violation, Wire, moment, pb, role,
};
use tonic::{Request, Response, Status, async_trait};

use crate::access::{Caller, Right};
use crate::desk::Desk;
use crate::fields;
use crate::page_token::{Paged, part};
use crate::status::Refusal;

/// How many accounts a page has unless asked otherwise, and at most.
const PAGE: (u32, u32) = (100, 1000);

/// How long a code may be good: what lies about for longer isn't handed over but lost.
const LONGEST_CODE_MS: i64 = 31 * 24 * 60 * 60 * 1000;

/// The service over a hub.
pub(crate) struct Accounts(pub(crate) Arc<Desk>);

#[async_trait]
impl AccessService for Accounts {
    async fn create_enrolment(
        &self,
        request: Request<pb::CreateEnrolmentRequest>,
    ) -> Result<Response<pb::CreateEnrolmentResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("CreateEnrolment", &request, &request.get_ref().request_id);
        call.answer(self.prepare(caller, request.into_inner())).await
    }

    async fn enrol(
        &self,
        request: Request<pb::EnrolRequest>,
    ) -> Result<Response<pb::EnrolResponse>, Status> {
        let call = self.0.call("Enrol", &request, "");
        let from = request.remote_addr().map(|address| address.ip());
        call.answer(self.join(from, request.into_inner())).await
    }

    async fn list_accounts(
        &self,
        request: Request<pb::ListAccountsRequest>,
    ) -> Result<Response<pb::ListAccountsResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("ListAccounts", &request, "");
        call.answer(self.list(caller, request.into_inner())).await
    }

    async fn revoke_token(
        &self,
        request: Request<pb::RevokeTokenRequest>,
    ) -> Result<Response<pb::RevokeTokenResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("RevokeToken", &request, &request.get_ref().request_id);
        let pb::RevokeTokenRequest { request_id, token_id } = request.into_inner();
        let work = async {
            caller.may(Right::ManageAccess)?;
            let what = Revoked::Token(fields::parsed(&token_id, "token_id")?);
            self.revoke(&caller, &request_id, what).await?;
            Ok(pb::RevokeTokenResponse {})
        };
        call.answer(work).await
    }

    async fn revoke_account(
        &self,
        request: Request<pb::RevokeAccountRequest>,
    ) -> Result<Response<pb::RevokeAccountResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.change("RevokeAccount", &request, &request.get_ref().request_id);
        let pb::RevokeAccountRequest { request_id, name } = request.into_inner();
        let work = async {
            caller.may(Right::ManageAccess)?;
            let what = Revoked::Account(fields::parsed(&name, "name")?);
            self.revoke(&caller, &request_id, what).await?;
            Ok(pb::RevokeAccountResponse {})
        };
        call.answer(work).await
    }

    async fn who_am_i(
        &self,
        request: Request<pb::WhoAmIRequest>,
    ) -> Result<Response<pb::WhoAmIResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("WhoAmI", &request, "");
        call.answer(async { Ok(identity(&caller).to_pb()) }).await
    }
}

impl Accounts {
    async fn prepare(
        &self,
        caller: Caller,
        request: pb::CreateEnrolmentRequest,
    ) -> Result<pb::CreateEnrolmentResponse, Refusal> {
        caller.may(Right::ManageAccess)?;
        let now = self.0.clock.now();
        let (asked, by) = (asked(request, now)?, caller.somebody());
        let account = self.0.exchange.prepare_enrolment(asked, by, now).await?;
        let Account { name, role, .. } = &account;
        tracing::info!(account = name.as_str(), %role, "a code was made for an account");
        Ok(pb::CreateEnrolmentResponse { account: Some(bare(account).to_pb()) })
    }

    async fn join(
        &self,
        from: Option<IpAddr>,
        request: pb::EnrolRequest,
    ) -> Result<pb::EnrolResponse, Refusal> {
        let pb::EnrolRequest { code, token_id, token_digest } = request;
        let code: EnrolmentCode = fields::parsed(&code, "code")?;
        // The secret isn't sent; a name that a token can't have is refused all the same.
        AccessToken::new(&*token_id, [0; 32])
            .map_err(|_| Violation::new("is not 1 to 128 visible ASCII characters without `_`"))
            .at("token_id")?;
        let id: TokenId = fields::parsed(&token_id, "token_id")?;
        let token = NewToken { id, digest: fields::digest(token_digest, "token_digest")? };
        let account = self.try_code(from, &code, token).await?;
        let name = account.name.as_str();
        tracing::info!(account = name, role = %account.role, token_id, "an account was joined");
        Ok(pb::EnrolResponse { account: Some(bare(account).to_pb()) })
    }

    /// Joins, unless too many wrong codes were sent.
    async fn try_code(
        &self,
        from: Option<IpAddr>,
        code: &EnrolmentCode,
        token: NewToken,
    ) -> Result<Account, Refusal> {
        let (guesses, now) = (&self.0.guesses, self.0.clock.now());
        guesses.admit(from, now)?;
        let answer = self.0.exchange.enrol(code, token, now).await;
        let wrong = |error: &AccessError| {
            use AccessRefusal::{CodeUnknown, CodeVoid};
            matches!(error, AccessError::Refused(CodeUnknown | CodeVoid))
        };
        if !answer.as_ref().is_err_and(wrong) {
            guesses.give_back(from);
        }
        Ok(answer?)
    }

    async fn list(
        &self,
        caller: Caller,
        request: pb::ListAccountsRequest,
    ) -> Result<pb::ListAccountsResponse, Refusal> {
        caller.may(Right::ManageAccess)?;
        let paged = Paged::new("ListAccounts", &[]);
        let place = paged.place::<1>(&request.page_token)?;
        let after = place.map(|[name]| part::<ActorName>(&name)).transpose()?;
        let limit = fields::page_size(request.page_size, PAGE.0, PAGE.1);
        let found = self.0.exchange.accounts(after.as_ref(), limit).await?;
        let last = found.last().filter(|_| found.len() == limit.get() as usize);
        Ok(pb::ListAccountsResponse {
            next_page_token: last
                .map(|last| paged.token(&[last.account.name.as_str()]))
                .unwrap_or_default(),
            accounts: found.into_iter().map(|record| shown(record).to_pb()).collect(),
        })
    }

    async fn revoke(
        &self,
        caller: &Caller,
        request_id: &str,
        what: Revoked,
    ) -> Result<(), Refusal> {
        let id = fields::request_id(request_id)?;
        let told = what.clone();
        let (by, now) = (caller.somebody(), self.0.clock.now());
        self.0.exchange.revoke(&id, what, by, now).await?;
        tracing::info!(what = ?told, "shut out");
        Ok(())
    }
}

/// The request, if it holds what there must be.
fn asked(request: pb::CreateEnrolmentRequest, now: Moment) -> Result<EnrolmentRequest, Violation> {
    let role = role(request.role)?;
    if !EnrolmentCode::is_id(&request.code_id) {
        return Err(Violation::new("is not the first eight letters of a code").at("code_id"));
    }
    Ok(EnrolmentRequest {
        request_id: fields::request_id(&request.request_id)?,
        name: fields::parsed(&request.name, "name")?,
        role,
        site: site_of(role, &request.site)?,
        code: fields::parsed(&request.code_id, "code_id")?,
        code_digest: fields::digest(request.code_digest, "code_digest")?,
        expires_at: ahead(request.expires_at_ms, now, LONGEST_CODE_MS).at("expires_at_ms")?,
        token_expires_at: request
            .token_expires_at_ms
            .map(|at| ahead(at, now, i64::MAX))
            .transpose()
            .at("token_expires_at_ms")?,
    })
}

fn site_of(role: Role, site: &str) -> Result<Option<SiteId>, Violation> {
    let site = if site.is_empty() { None } else { Some(fields::site(site)?) };
    if role.fits(site.as_ref()) {
        return Ok(site);
    }
    let wanted = if site.is_none() { "is required for" } else { "must be empty for" };
    Err(Violation::new(format!("{wanted} a {role}")).at("site"))
}

/// A moment that lies ahead, and not too far.
fn ahead(milliseconds: i64, now: Moment, furthest: i64) -> Result<Moment, Violation> {
    let at = moment(milliseconds)?;
    if at <= now {
        return Err(Violation::new("has passed"));
    }
    if at.0 > now.0.saturating_add(furthest) {
        return Err(Violation::new("is more than 31 days ahead"));
    }
    Ok(at)
}

fn identity(caller: &Caller) -> Identity {
    Identity {
        name: caller.name().cloned(),
        verified: caller.is_verified(),
        role: caller.role(),
        site: caller.bound_to().cloned(),
    }
}

fn bare(account: Account) -> chablon_wire::Account {
    shown(AccountRecord { account, tokens: Vec::new(), open_until: None })
}

fn shown(record: AccountRecord) -> chablon_wire::Account {
    let Account { name, role, site, created_at, revoked_at } = record.account;
    chablon_wire::Account {
        name,
        role,
        site,
        created_at,
        revoked_at,
        tokens: record.tokens.into_iter().map(token).collect(),
        open_until: record.open_until,
    }
}

fn token(record: TokenRecord) -> AccountToken {
    let TokenRecord { id, created_at, expires_at, last_used_at, revoked_at } = record;
    AccountToken { id: id.to_string(), created_at, expires_at, last_used_at, revoked_at }
}
