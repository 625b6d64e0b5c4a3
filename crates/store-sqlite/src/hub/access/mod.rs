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

use super::SqliteHub;

#[async_trait]
impl AccessStore for SqliteHub {
    async fn prepare_enrolment(&self, commit: NewEnrolment) -> Result<Account, HubError> {
        check_enrolment(&commit)?;
        Ok(self.writer.change(commit, |tx, commit| Box::pin(enrol::prepare(tx, commit))).await?)
    }

    async fn enrol(&self, attempt: Attempt) -> Result<Account, HubError> {
        self.writer.change(attempt, |tx, attempt| Box::pin(enrol::enrol(tx, attempt))).await?
    }

    async fn token(&self, id: &TokenId) -> Result<Option<KeptToken>, HubError> {
        Ok(read::token(&self.database, id).await?)
    }

    async fn token_used(&self, id: &TokenId, at: Moment) -> Result<(), HubError> {
        let used = (id.clone(), at);
        Ok(self.writer.change(used, |tx, (id, at)| Box::pin(revoke::used(tx, id, *at))).await?)
    }

    async fn accounts(
        &self,
        after: Option<&ActorName>,
        limit: NonZeroU32,
    ) -> Result<Vec<AccountRecord>, HubError> {
        Ok(read::accounts(&self.database, after, limit).await?)
    }

    async fn revoke(&self, commit: Revocation) -> Result<(), HubError> {
        Ok(self.writer.change(commit, |tx, commit| Box::pin(revoke::revoke(tx, commit))).await?)
    }
}
