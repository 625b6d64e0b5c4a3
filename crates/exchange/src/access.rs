//! Who may reach the hub.

use std::num::NonZeroU32;

use chablon_model::{ActorName, Digest, Moment, Role, SiteId};
use chablon_store::backend::same_secret;
use chablon_store::{
    AccessRefusal, Account, AccountRecord, Actor, Attempt, EnrolmentId, HubError, KeptToken,
    NewEnrolment, NewToken, Request, RequestId, Revocation, Revoked, TokenId, digest_of,
};
use chablon_wire::{AccessToken, EnrolmentCode};

use crate::{Exchange, StoreFault};

/// How long after it was noted last the use of a token is noted again.
const NOTED_EVERY_MS: i64 = 60_000;

/// Why nobody is let in, or out.
#[derive(Debug, thiserror::Error)]
pub enum AccessError {
    /// It doesn't fit who is known.
    #[error(transparent)]
    Refused(AccessRefusal),
    /// A request's name was used for other content.
    #[error("request id `{0}` was used for a request with other content; use a new one")]
    RequestIdReused(RequestId),
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

impl From<HubError> for AccessError {
    fn from(error: HubError) -> Self {
        match error {
            HubError::Access(refusal) => Self::Refused(refusal),
            HubError::RequestIdReused(id) => Self::RequestIdReused(id),
            other => Self::Store(StoreFault::of(other)),
        }
    }
}

/// Why a token lets nobody in.
#[derive(Debug, thiserror::Error)]
pub enum TokenError {
    /// None has its name, or the one that has it has another secret.
    #[error("the token is not known here; join the hub it is for, or this one by a new code")]
    Unknown,
    /// It ended by itself.
    #[error("the token is too old; ask for a new code and join again")]
    Expired,
    /// It, or its account, was shut out.
    #[error("the token was shut out; whoever manages access can say why")]
    Revoked,
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

/// Asks for a code to be kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EnrolmentRequest {
    /// The request's name.
    pub request_id: RequestId,
    /// The account's name.
    pub name: ActorName,
    /// Its role.
    pub role: Role,
    /// Its site, as the role wants it.
    pub site: Option<SiteId>,
    /// The code's name.
    pub code: EnrolmentId,
    /// The code's digest.
    pub code_digest: Digest,
    /// From when the code is no longer good; after now.
    pub expires_at: Moment,
    /// From when the token is no longer good that is got by it, if it is to end; after now.
    pub token_expires_at: Option<Moment>,
}

impl EnrolmentRequest {
    /// What makes it repeatable. No name holds a line's end, so that nothing runs into another.
    fn request(&self) -> Request {
        let parts = [
            self.name.to_string(),
            self.role.to_string(),
            self.site.as_ref().map(ToString::to_string).unwrap_or_default(),
            self.code.to_string(),
            self.code_digest.to_string(),
            self.expires_at.0.to_string(),
            self.token_expires_at.map(|at| at.0.to_string()).unwrap_or_default(),
        ];
        request(&self.request_id, "enrolment", &parts.join("\n"))
    }
}

fn request(id: &RequestId, kind: &str, content: &str) -> Request {
    Request { id: id.clone(), digest: digest_of(format!("{kind}\n{content}").as_bytes()) }
}

impl Exchange {
    /// Keeps a code by which an account may be joined.
    pub async fn prepare_enrolment(
        &self,
        asked: EnrolmentRequest,
        by: Actor,
        now: Moment,
    ) -> Result<Account, AccessError> {
        let commit = NewEnrolment {
            request: asked.request(),
            at: now,
            by,
            name: asked.name,
            role: asked.role,
            site: asked.site,
            enrolment: asked.code,
            code_digest: asked.code_digest,
            expires_at: asked.expires_at,
            token_expires_at: asked.token_expires_at,
        };
        Ok(self.store.prepare_enrolment(commit).await?)
    }

    /// Joins an account by a code.
    pub async fn enrol(
        &self,
        code: &EnrolmentCode,
        token: NewToken,
        now: Moment,
    ) -> Result<Account, AccessError> {
        let enrolment = code.id().parse().expect("the name of a code is a token");
        let attempt = Attempt { at: now, enrolment, code_digest: code.digest(), token };
        Ok(self.store.enrol(attempt).await?)
    }

    /// Whose a token is, if it is good, and notes that it was used.
    pub async fn let_in(&self, token: &AccessToken, now: Moment) -> Result<Account, TokenError> {
        let id: TokenId = token.id().parse().map_err(|_| TokenError::Unknown)?;
        let kept = self.kept(&id).await?;
        if !same_secret(&kept.digest, &token.digest()) {
            return Err(TokenError::Unknown);
        }
        good(&kept, now)?;
        self.note_use(&kept, now);
        Ok(kept.account)
    }

    /// Whether a token that let somebody in is still good.
    pub async fn still_in(&self, token: &TokenId, now: Moment) -> Result<(), TokenError> {
        good(&self.kept(token).await?, now)
    }

    async fn kept(&self, id: &TokenId) -> Result<KeptToken, TokenError> {
        let kept = self.store.token(id).await.map_err(StoreFault::of)?;
        kept.ok_or(TokenError::Unknown)
    }

    /// Notes that a token was used, beside the call: nobody waits for it, and a note that is lost is
    /// made up for by the next.
    fn note_use(&self, kept: &KeptToken, now: Moment) {
        let noted = kept.record.last_used_at;
        if noted.is_some_and(|noted| now.0 < noted.0.saturating_add(NOTED_EVERY_MS)) {
            return;
        }
        let (store, id) = (self.store.clone(), kept.record.id.clone());
        tokio::spawn(async move { store.token_used(&id, now).await });
    }

    /// Accounts with their tokens, by name, starting after a name.
    pub async fn accounts(
        &self,
        after: Option<&ActorName>,
        limit: NonZeroU32,
    ) -> Result<Vec<AccountRecord>, AccessError> {
        Ok(self.store.accounts(after, limit).await?)
    }

    /// Shuts a token out, or an account.
    pub async fn revoke(
        &self,
        request_id: &RequestId,
        what: Revoked,
        by: Actor,
        now: Moment,
    ) -> Result<(), AccessError> {
        let request = match &what {
            Revoked::Token(id) => request(request_id, "revoked token", id.as_str()),
            Revoked::Account(name) => request(request_id, "revoked account", name.as_str()),
        };
        Ok(self.store.revoke(Revocation { request, at: now, by, what }).await?)
    }
}

fn good(kept: &KeptToken, now: Moment) -> Result<(), TokenError> {
    if kept.record.revoked_at.is_some() || kept.account.revoked_at.is_some() {
        return Err(TokenError::Revoked);
    }
    match kept.record.expires_at {
        Some(end) if end <= now => Err(TokenError::Expired),
        _ => Ok(()),
    }
}
