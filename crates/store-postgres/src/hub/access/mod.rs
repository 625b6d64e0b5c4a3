//! Who may reach the hub.

use std::num::NonZeroU32;

use async_trait::async_trait;
use chablon_model::{ActorName, Moment};
use chablon_store::backend::check_enrolment;
use chablon_store::{
    AccessStore, Account, AccountRecord, Attempt, HubError, KeptToken, NewEnrolment, Revocation,
    TokenId,
};

mod enrol;
mod read;
mod revoke;
mod rows;

use super::PostgresHub;

#[async_trait]
impl AccessStore for PostgresHub {
    async fn prepare_enrolment(&self, commit: NewEnrolment) -> Result<Account, HubError> {
        check_enrolment(&commit)?;
        Ok(self.database.change(commit, enrol::prepare).await?)
    }

    async fn enrol(&self, attempt: Attempt) -> Result<Account, HubError> {
        self.database.change(attempt, enrol::enrol).await?
    }

    async fn token(&self, id: &TokenId) -> Result<Option<KeptToken>, HubError> {
        Ok(self.database.reading(|| read::token(&self.database, id)).await?)
    }

    async fn token_used(&self, id: &TokenId, at: Moment) -> Result<(), HubError> {
        Ok(self.database.change((id.clone(), at), revoke::used).await?)
    }

    async fn accounts(
        &self,
        after: Option<&ActorName>,
        limit: NonZeroU32,
    ) -> Result<Vec<AccountRecord>, HubError> {
        Ok(self.database.reading(|| read::accounts(&self.database, after, limit)).await?)
    }

    async fn revoke(&self, commit: Revocation) -> Result<(), HubError> {
        Ok(self.database.change(commit, revoke::revoke).await?)
    }
}
