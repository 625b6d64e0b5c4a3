//! The epoch and the counter.

use chablon_store::{Epoch, FeedState};
use sqlx::SqliteConnection;

use super::Fault;
use crate::database::Database;
use crate::values::Place;

/// Where the feed stands; a new store begins at 0 under a new epoch.
pub(super) async fn begin(
    database: &Database,
    new_epoch: impl FnOnce() -> Epoch,
) -> Result<FeedState, Fault> {
    let mut tx = database.write().await?;
    if find(&mut tx).await?.is_none() {
        sqlx::query("INSERT INTO feed (only_row, epoch, position) VALUES (1, ?1, 0)")
            .bind(new_epoch().as_str())
            .execute(&mut *tx)
            .await?;
    }
    let state = read(&mut tx).await?;
    tx.commit().await?;
    Ok(state)
}

pub(super) async fn read(connection: &mut SqliteConnection) -> Result<FeedState, Fault> {
    let found = find(connection).await?.ok_or_else(|| place().damage("it is gone"))?;
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

/// Moves the counter. Nothing comes after this but the commit: positions become readable with it,
/// and on a database with several writers all the others wait from here on.
pub(super) async fn advance(
    connection: &mut SqliteConnection,
    from: u64,
    to: u64,
) -> Result<(), Fault> {
    let moved = sqlx::query("UPDATE feed SET position = ?2 WHERE only_row = 1 AND position = ?1")
        .bind(crate::values::sql(from))
        .bind(crate::values::sql(to))
        .execute(connection)
        .await?;
    match moved.rows_affected() {
        1 => Ok(()),
        _ => Err(place().damage("the counter moved under a writer's lock").into()),
    }
}

async fn find(
    connection: &mut SqliteConnection,
) -> Result<Option<(String, i64, i64)>, sqlx::Error> {
    sqlx::query_as("SELECT epoch, position, oldest FROM feed WHERE only_row = 1")
        .fetch_optional(connection)
        .await
}

fn place() -> Place<'static> {
    Place::new("feed", &1)
}
