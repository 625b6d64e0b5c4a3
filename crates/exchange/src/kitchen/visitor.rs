//! Who may read a kitchen's replica from elsewhere than its own machine.

use std::num::NonZeroU32;

use async_trait::async_trait;
use chablon_model::{ActorName, Digest, Draft, DraftId, DraftState, Moment, Role, SiteId};
use chablon_store::{
    AccessStore, Account, AccountRecord, Attempt, AuditEntry, AuditLog, DraftCommit, DraftStore,
    HubError, KeptToken, NewEnrolment, Revocation, StoredDraft, TokenId, TokenRecord,
};
use chablon_wire::AccessToken;

use super::{KitchenStore, not_here};

/// The name of the one account that a kitchen's replica knows.
const NAME: &str = "A tool in the kitchen";

/// Whoever shows the one token that a kitchen's replica knows. Its secret isn't kept.
pub(super) struct Visitor {
    id: TokenId,
    digest: Digest,
}

impl Visitor {
    pub(super) fn new(token: &AccessToken) -> Self {
        let id = token.id().parse().expect("the name of a token is one that a store takes");
        Self { id, digest: token.digest() }
    }

    fn kept(&self, site: &SiteId) -> KeptToken {
        let (created_at, id) = (Moment(0), self.id.clone());
        let account = Account {
            name: NAME.parse().expect("a constant name"),
            role: Role::Reader,
            site: Some(site.clone()),
            created_at,
            revoked_at: None,
        };
        // Nothing is noted of its use, so that there is nothing to write.
        let last_used_at = Some(Moment(i64::MAX));
        let record =
            TokenRecord { id, created_at, expires_at: None, last_used_at, revoked_at: None };
        KeptToken { account, digest: self.digest, record }
    }
}

#[async_trait]
impl AccessStore for KitchenStore {
    async fn token(&self, id: &TokenId) -> Result<Option<KeptToken>, HubError> {
        let known = self.visitor.as_ref().filter(|visitor| visitor.id == *id);
        Ok(known.map(|visitor| visitor.kept(self.whose())))
    }

    async fn prepare_enrolment(&self, _: NewEnrolment) -> Result<Account, HubError> {
        Err(not_here("changes of its own"))
    }

    async fn enrol(&self, _: Attempt) -> Result<Account, HubError> {
        Err(not_here("changes of its own"))
    }

    async fn token_used(&self, _: &TokenId, _: Moment) -> Result<(), HubError> {
        Err(not_here("changes of its own"))
    }

    async fn accounts(
        &self,
        _: Option<&ActorName>,
        _: NonZeroU32,
    ) -> Result<Vec<AccountRecord>, HubError> {
        Err(not_here("accounts"))
    }

    async fn revoke(&self, _: Revocation) -> Result<(), HubError> {
        Err(not_here("changes of its own"))
    }
}

#[async_trait]
impl DraftStore for KitchenStore {
    async fn take_step(&self, _: DraftCommit) -> Result<Draft, HubError> {
        Err(not_here("changes of its own"))
    }

    async fn draft(&self, _: &DraftId) -> Result<Option<StoredDraft>, HubError> {
        Err(not_here("drafts"))
    }

    async fn drafts(
        &self,
        _: &[DraftState],
        _: Option<&DraftId>,
        _: NonZeroU32,
    ) -> Result<Vec<Draft>, HubError> {
        Err(not_here("drafts"))
    }
}

#[async_trait]
impl AuditLog for KitchenStore {
    async fn audit(&self, _: Option<u64>, _: NonZeroU32) -> Result<Vec<AuditEntry>, HubError> {
        Err(not_here("the log of who did what"))
    }
}
