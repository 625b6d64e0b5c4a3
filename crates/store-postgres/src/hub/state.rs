//! The epoch and the counter.

use std::sync::Arc;

use chablon_store::{Epoch, FeedState};
use sqlx::PgExecutor;

use crate::database::Database;
use crate::fault::Fault;
use crate::values::Place;

/// Where the feed stands; a new store begins at 0 under a new epoch. Of several hubs that begin it
/// at once, one gives the epoch.
pub(super) async fn begin(
    database: &Database,
    new_epoch: impl FnOnce() -> Epoch,
) -> Result<FeedState, Fault> {
    let mut tx = database.write().await?;
    if find(&mut *tx).await?.is_none() {
        sqlx::query("INSERT INTO feed (epoch, position) VALUES ($1, 0) ON CONFLICT DO NOTHING")
            .bind(new_epoch().as_str())
            .execute(&mut *tx)
            .await?;
    }
    let state = read(&mut *tx).await?;
    tx.commit().await?;
    Ok(state)
}

pub(crate) async fn state(database: &Database) -> Result<FeedState, Fault> {
    read(database.readers()).await
}

pub(super) async fn read(executor: impl PgExecutor<'_>) -> Result<FeedState, Fault> {
    let found = find(executor).await?.ok_or_else(|| place().damage("it is gone"))?;
    let (epoch, position, oldest) = found;
    Ok(FeedState {
        epoch: place().id(&epoch)?,
        position: place().position(position)?,
        oldest: place().position(oldest)?,
    })
}

pub(super) async fn renew_epoch(database: Database, epoch: Arc<Epoch>) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    sqlx::query("UPDATE feed SET epoch = $1").bind(epoch.as_str()).execute(&mut *tx).await?;
    Ok(tx.commit().await?)
}

async fn find(executor: impl PgExecutor<'_>) -> Result<Option<(String, i64, i64)>, sqlx::Error> {
    sqlx::query_as("SELECT epoch, position, oldest FROM feed").fetch_optional(executor).await
}

pub(super) fn place() -> Place<'static> {
    Place::new("feed", &1)
}
