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

use super::{Fault, SqliteHub};
use crate::database::in_task;

#[async_trait]
impl AccessStore for SqliteHub {
    async fn prepare_enrolment(&self, commit: NewEnrolment) -> Result<Account, HubError> {
        check_enrolment(&commit)?;
        let database = self.database.clone();
        let change = in_task(async move { enrol::prepare(&database, &commit).await });
        Ok(change.await.map_err(Fault::from)??)
    }

    async fn enrol(&self, attempt: Attempt) -> Result<Account, HubError> {
        let database = self.database.clone();
        let change = in_task(async move { enrol::enrol(&database, &attempt).await });
        Ok(change.await.map_err(Fault::from)???)
    }

    async fn token(&self, id: &TokenId) -> Result<Option<KeptToken>, HubError> {
        Ok(read::token(&self.database, id).await?)
    }

    async fn token_used(&self, id: &TokenId, at: Moment) -> Result<(), HubError> {
        let (database, id) = (self.database.clone(), id.clone());
        let change = in_task(async move { revoke::used(&database, &id, at).await });
        Ok(change.await.map_err(Fault::from)??)
    }

    async fn accounts(
        &self,
        after: Option<&ActorName>,
        limit: NonZeroU32,
    ) -> Result<Vec<AccountRecord>, HubError> {
        Ok(read::accounts(&self.database, after, limit).await?)
    }

    async fn revoke(&self, commit: Revocation) -> Result<(), HubError> {
        let database = self.database.clone();
        let change = in_task(async move { revoke::revoke(&database, &commit).await });
        Ok(change.await.map_err(Fault::from)??)
    }
}
