//! Accounts, codes and tokens.

use std::collections::{BTreeMap, HashMap};
use std::num::NonZeroU32;
use std::ops::Bound;

use async_trait::async_trait;
use chablon_model::{ActorName, Digest, Moment};

use super::MemoryHub;
use crate::backend::{Verdict, check_enrolment, fits_account, judge, same_request};
use crate::memory::lock;
use crate::{
    AccessRefusal, AccessStore, Account, AccountRecord, Attempt, AuditRecord, Enrolment,
    EnrolmentId, HubError, KeptToken, NewEnrolment, Request, RequestId, Revocation, Revoked,
    TokenId, TokenRecord,
};

/// The records of the log, in order.
type Log = Vec<AuditRecord>;

#[derive(Debug, Default)]
pub(super) struct Access {
    accounts: BTreeMap<ActorName, Account>,
    enrolments: HashMap<EnrolmentId, EnrolmentRow>,
    tokens: HashMap<TokenId, TokenRow>,
    requests: HashMap<RequestId, Digest>,
}

#[derive(Debug)]
struct EnrolmentRow {
    account: ActorName,
    token_expires_at: Option<Moment>,
    kept: Enrolment,
}

#[derive(Debug)]
struct TokenRow {
    account: ActorName,
    digest: Digest,
    record: TokenRecord,
}

impl Access {
    /// Whether a request was carried out before.
    fn repeated(&self, request: &Request) -> Result<bool, HubError> {
        let Some(stored) = self.requests.get(&request.id) else { return Ok(false) };
        same_request(&request.id, request.digest, *stored)?;
        Ok(true)
    }

    fn prepare(&mut self, commit: NewEnrolment, log: &mut Log) -> Result<Account, HubError> {
        let told = commit.record();
        let NewEnrolment { request, at, name, role, site, .. } = commit;
        let found = self.accounts.get(&name);
        if self.repeated(&request)? {
            return found.cloned().ok_or_else(|| HubError::Damaged(format!("`{name}` is gone")));
        }
        if let Some(found) = found {
            fits_account(found, &name, role, site.as_ref())?;
        }
        if self.enrolments.contains_key(&commit.enrolment) {
            return Err(AccessRefusal::CodeExists.into());
        }
        let made = Account { name: name.clone(), role, site, created_at: at, revoked_at: None };
        let account = self.accounts.entry(name.clone()).or_insert(made).clone();
        let kept = Enrolment {
            code_digest: commit.code_digest,
            expires_at: commit.expires_at,
            failures: 0,
            spent_for: None,
        };
        let row = EnrolmentRow { account: name, token_expires_at: commit.token_expires_at, kept };
        self.enrolments.insert(commit.enrolment, row);
        log.push(told);
        self.requests.insert(request.id, request.digest);
        Ok(account)
    }

    fn enrol(&mut self, attempt: Attempt, log: &mut Log) -> Result<Account, HubError> {
        let row = self.enrolments.get_mut(&attempt.enrolment);
        let row = row.ok_or(AccessRefusal::CodeUnknown)?;
        let account = self.accounts[&row.account].clone();
        match judge(&row.kept, &account, &attempt) {
            Verdict::Again => return Ok(account),
            Verdict::Refused(refusal) => return Err(refusal.into()),
            Verdict::Counted(refusal) => {
                row.kept.failures += 1;
                return Err(refusal.into());
            }
            Verdict::Join => {}
        }
        let told = attempt.record(&account);
        let Attempt { at, token, .. } = attempt;
        if self.tokens.contains_key(&token.id) {
            return Err(AccessRefusal::TokenExists.into());
        }
        row.kept.spent_for = Some(token.clone());
        let record = TokenRecord {
            id: token.id.clone(),
            created_at: at,
            expires_at: row.token_expires_at,
            last_used_at: None,
            revoked_at: None,
        };
        let kept = TokenRow { account: account.name.clone(), digest: token.digest, record };
        self.tokens.insert(token.id, kept);
        log.push(told);
        Ok(account)
    }

    fn record(&self, account: &Account) -> AccountRecord {
        let own = self.tokens.values().filter(|row| row.account == account.name);
        let mut tokens: Vec<TokenRecord> = own.map(|row| row.record.clone()).collect();
        tokens.sort_by(|a, b| (a.created_at, &a.id).cmp(&(b.created_at, &b.id)));
        let codes = self.enrolments.values().filter(|row| row.account == account.name);
        let open = codes.filter(|row| row.kept.is_open()).map(|row| row.kept.expires_at);
        AccountRecord { account: account.clone(), tokens, open_until: open.max() }
    }

    fn revoke(&mut self, commit: Revocation, log: &mut Log) -> Result<(), HubError> {
        let told = commit.record();
        let Revocation { request, at, what, .. } = commit;
        if self.repeated(&request)? {
            return Ok(());
        }
        let revoked_at = match what {
            Revoked::Token(id) => match self.tokens.get_mut(&id) {
                Some(row) => &mut row.record.revoked_at,
                None => return Err(AccessRefusal::UnknownToken(id).into()),
            },
            Revoked::Account(name) => match self.accounts.get_mut(&name) {
                Some(account) => &mut account.revoked_at,
                None => return Err(AccessRefusal::UnknownAccount(name).into()),
            },
        };
        revoked_at.get_or_insert(at);
        log.push(told);
        self.requests.insert(request.id, request.digest);
        Ok(())
    }
}

#[async_trait]
impl AccessStore for MemoryHub {
    async fn prepare_enrolment(&self, commit: NewEnrolment) -> Result<Account, HubError> {
        check_enrolment(&commit)?;
        lock(&self.access).prepare(commit, &mut lock(&self.state).audit)
    }

    async fn enrol(&self, attempt: Attempt) -> Result<Account, HubError> {
        lock(&self.access).enrol(attempt, &mut lock(&self.state).audit)
    }

    async fn token(&self, id: &TokenId) -> Result<Option<KeptToken>, HubError> {
        let access = lock(&self.access);
        Ok(access.tokens.get(id).map(|row| KeptToken {
            account: access.accounts[&row.account].clone(),
            digest: row.digest,
            record: row.record.clone(),
        }))
    }

    async fn token_used(&self, id: &TokenId, at: Moment) -> Result<(), HubError> {
        if let Some(row) = lock(&self.access).tokens.get_mut(id) {
            row.record.last_used_at = row.record.last_used_at.max(Some(at));
        }
        Ok(())
    }

    async fn accounts(
        &self,
        after: Option<&ActorName>,
        limit: NonZeroU32,
    ) -> Result<Vec<AccountRecord>, HubError> {
        let access = lock(&self.access);
        let start = after.map_or(Bound::Unbounded, Bound::Excluded);
        let from = access.accounts.range::<ActorName, _>((start, Bound::Unbounded));
        let page = from.take(limit.get() as usize);
        Ok(page.map(|(_, account)| access.record(account)).collect())
    }

    async fn revoke(&self, commit: Revocation) -> Result<(), HubError> {
        lock(&self.access).revoke(commit, &mut lock(&self.state).audit)
    }
}
