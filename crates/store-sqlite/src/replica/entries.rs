//! Entries.

use chablon_model::DocumentKey;
use chablon_store::backend::{documents, needs, signatures_to_bytes};
use chablon_store::{EntryKind, FeedEntry, NewEntry, ReplicaError};
use sqlx::{Sqlite, SqliteExecutor};

use super::Fault;
use super::reach::Pins;
use crate::database::{Database, Tx};
use crate::many::{self, Insert};
use crate::values::{EntryRow, sql, to_bytes};

pub(super) async fn entries<'c>(
    executor: impl SqliteExecutor<'c, Database = Sqlite>,
) -> Result<Vec<FeedEntry>, Fault> {
    let rows: Vec<EntryRow> = sqlx::query_as(
        "SELECT position, previous_position, recorded_at, kind, body_digest, body, signatures \
         FROM entry ORDER BY position",
    )
    .fetch_all(executor)
    .await?;
    Ok(crate::values::entries(rows)?)
}

pub(super) async fn history(
    database: &Database,
    key: &DocumentKey,
) -> Result<Vec<FeedEntry>, Fault> {
    let rows: Vec<EntryRow> = sqlx::query_as(
        "SELECT position, previous_position, recorded_at, e.kind, body_digest, body, signatures \
         FROM entry_document d JOIN entry e USING (position) \
         WHERE d.kind = ?1 AND d.id = ?2 ORDER BY position",
    )
    .bind(key.kind.as_str())
    .bind(key.id.as_str())
    .fetch_all(database.readers())
    .await?;
    Ok(crate::values::entries(rows)?)
}

/// Takes entries, if all that they need is held.
pub(super) async fn insert(tx: &mut Tx, pins: &Pins, new: &[&NewEntry]) -> Result<(), Fault> {
    let needed = new.iter().flat_map(|entry| needs(&entry.says));
    let missing = pins.reached(tx, needed).await?.missing;
    if !missing.is_empty() {
        return Err(ReplicaError::Missing(missing).into());
    }
    for entry in new {
        insert_body(tx, entry).await?;
    }
    insert_documents(tx, new).await
}

async fn insert_body(tx: &mut Tx, entry: &NewEntry) -> Result<(), Fault> {
    sqlx::query(
        "INSERT INTO entry \
         (position, previous_position, recorded_at, kind, body_digest, body, signatures, needs) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
    )
    .bind(sql(entry.position))
    .bind(sql(entry.previous_position))
    .bind(entry.recorded_at.0)
    .bind(EntryKind::of(&entry.says).as_str())
    .bind(&entry.body.digest.0[..])
    .bind(&entry.body.bytes[..])
    .bind(signatures_to_bytes(&entry.body.signatures))
    .bind(to_bytes(needs(&entry.says)))
    .execute(&mut **tx)
    .await?;
    Ok(())
}

const DOCUMENTS: Insert =
    Insert { into: "INSERT INTO entry_document (kind, id, position) ", columns: 3, rest: "" };

async fn insert_documents(tx: &mut Tx, new: &[&NewEntry]) -> Result<(), Fault> {
    let all = new
        .iter()
        .flat_map(|entry| documents(&entry.says).into_iter().map(|key| (entry.position, key)));
    let rows = many::rows(DOCUMENTS, all, |row, (position, key)| {
        row.push_bind(key.kind.as_str());
        row.push_bind(key.id.as_str());
        row.push_bind(sql(position));
    });
    many::insert(tx, rows).await?;
    Ok(())
}

/// Forgets all entries. Revisions stay.
pub(super) async fn forget(tx: &mut Tx) -> Result<(), Fault> {
    for delete in ["DELETE FROM entry_document", "DELETE FROM entry"] {
        sqlx::query(delete).execute(&mut **tx).await?;
    }
    Ok(())
}
