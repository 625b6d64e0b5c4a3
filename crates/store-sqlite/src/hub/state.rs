//! The epoch and the counter.

use chablon_store::{Epoch, FeedState};
use sqlx::SqliteExecutor;

use super::Fault;
use crate::database::{Database, Tx};
use crate::fault::Damage;
use crate::many::Batch;
use crate::values::{Place, sql};

/// Where the feed stands; a new store begins at 0 under a new epoch.
pub(super) async fn begin(
    database: &Database,
    new_epoch: impl FnOnce() -> Epoch,
) -> Result<FeedState, Fault> {
    let mut tx = database.write().await?;
    if find(&mut *tx).await?.is_none() {
        sqlx::query("INSERT INTO feed (only_row, epoch, position) VALUES (1, ?1, 0)")
            .bind(new_epoch().as_str())
            .execute(&mut *tx)
            .await?;
    }
    let state = read(&mut *tx).await?;
    tx.commit().await?;
    Ok(state)
}

pub(super) async fn state(database: &Database) -> Result<FeedState, Fault> {
    read(database.readers()).await
}

pub(super) async fn read(executor: impl SqliteExecutor<'_>) -> Result<FeedState, Fault> {
    let found = find(executor).await?.ok_or_else(gone)?;
    let (epoch, position, oldest) = found;
    Ok(FeedState {
        epoch: place().id(&epoch)?,
        position: place().position(position)?,
        oldest: place().position(oldest)?,
    })
}

pub(super) async fn renew_epoch(database: &Database, epoch: &Epoch) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    sqlx::query("UPDATE feed SET epoch = ?1 WHERE only_row = 1")
        .bind(epoch.as_str())
        .execute(&mut *tx)
        .await?;
    Ok(tx.commit().await?)
}

/// Carries a change out and moves the counter, which the commit makes readable together with the entries.
pub(super) async fn advance(
    tx: &mut Tx,
    mut change: Batch,
    from: u64,
    to: u64,
) -> Result<(), Fault> {
    change.then(|statement| {
        statement.push("UPDATE feed SET position = ").push_bind(sql(to));
        statement.push(" WHERE only_row = 1 AND position = ").push_bind(sql(from));
        statement.push(" RETURNING position");
    });
    match change.fetch(tx).await? {
        Some(_) => Ok(()),
        None => Err(place().damage("the counter moved under a writer's lock").into()),
    }
}

async fn find(
    executor: impl SqliteExecutor<'_>,
) -> Result<Option<(String, i64, i64)>, sqlx::Error> {
    sqlx::query_as("SELECT epoch, position, oldest FROM feed WHERE only_row = 1")
        .fetch_optional(executor)
        .await
}

pub(super) fn gone() -> Damage {
    place().damage("it is gone")
}

pub(super) fn place() -> Place<'static> {
    Place::new("feed", &1)
}
