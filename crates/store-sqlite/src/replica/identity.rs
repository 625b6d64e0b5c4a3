//! Whose replica it is and how far it got.

use chablon_model::{Moment, SiteId};
use chablon_store::{Cursor, Identity, ReplicaError};
use sqlx::{Sqlite, SqliteExecutor};

use super::Fault;
use crate::database::{Database, Tx};
use crate::values::{Place, sql};

pub(super) async fn identity(database: &Database) -> Result<Option<Identity>, Fault> {
    let row: Option<(String, i64)> =
        sqlx::query_as("SELECT site, enrolled_at FROM replica WHERE only_row = 1")
            .fetch_optional(database.readers())
            .await?;
    let Some((site, enrolled_at)) = row else { return Ok(None) };
    Ok(Some(Identity { site: place().id(&site)?, enrolled_at: Moment(enrolled_at) }))
}

pub(super) async fn enrol(database: &Database, identity: Identity) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    sqlx::query(
        "INSERT INTO replica (only_row, site, enrolled_at) VALUES (1, ?1, ?2) \
         ON CONFLICT DO NOTHING",
    )
    .bind(identity.site.as_str())
    .bind(identity.enrolled_at.0)
    .execute(&mut *tx)
    .await?;
    let site = enrolled(&mut tx).await?;
    if site != identity.site {
        return Err(ReplicaError::EnrolledElsewhere { site, asked: identity.site }.into());
    }
    Ok(tx.commit().await?)
}

/// The site, or that there is none.
pub(super) async fn enrolled(tx: &mut Tx) -> Result<SiteId, Fault> {
    let site: Option<String> = sqlx::query_scalar("SELECT site FROM replica WHERE only_row = 1")
        .fetch_optional(&mut **tx)
        .await?;
    Ok(place().id(&site.ok_or(ReplicaError::NotEnrolled)?)?)
}

pub(super) async fn cursor<'c>(
    executor: impl SqliteExecutor<'c, Database = Sqlite>,
) -> Result<Option<Cursor>, Fault> {
    let row: Option<(String, Vec<u8>, i64)> = sqlx::query_as(
        "SELECT epoch, view, position FROM replica WHERE only_row = 1 AND epoch IS NOT NULL",
    )
    .fetch_optional(executor)
    .await?;
    let Some((epoch, view, position)) = row else { return Ok(None) };
    Ok(Some(Cursor {
        epoch: place().id(&epoch)?,
        view: place().digest(&view)?,
        position: place().position(position)?,
    }))
}

pub(super) async fn set_cursor(tx: &mut Tx, cursor: &Cursor) -> Result<(), Fault> {
    sqlx::query("UPDATE replica SET epoch = ?1, view = ?2, position = ?3 WHERE only_row = 1")
        .bind(cursor.epoch.as_str())
        .bind(&cursor.view.0[..])
        .bind(sql(cursor.position))
        .execute(&mut **tx)
        .await?;
    Ok(())
}

pub(super) async fn last_contact(database: &Database) -> Result<Option<Moment>, Fault> {
    let at: Option<Option<i64>> =
        sqlx::query_scalar("SELECT last_contact FROM replica WHERE only_row = 1")
            .fetch_optional(database.readers())
            .await?;
    Ok(at.flatten().map(Moment))
}

pub(super) async fn caught_up(database: &Database, at: Moment) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    enrolled(&mut tx).await?;
    sqlx::query(
        "UPDATE replica SET last_contact = max(coalesce(last_contact, ?1), ?1) WHERE only_row = 1",
    )
    .bind(at.0)
    .execute(&mut *tx)
    .await?;
    Ok(tx.commit().await?)
}

fn place() -> Place<'static> {
    Place::new("replica", &1)
}
