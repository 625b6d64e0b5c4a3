//! Entries.

use chablon_model::DocumentKey;
use chablon_store::backend::{documents, needs, signatures_to_bytes};
use chablon_store::{EntryKind, FeedEntry, NewEntry, ReplicaError};
use sqlx::{Sqlite, SqliteExecutor};

use super::Fault;
use super::reach::Pins;
use crate::database::{Database, Tx};
use crate::many::{Batch, Insert, Row};
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
    let mut batch = Batch::default();
    batch.insert(ENTRIES, new, |row, entry| push_entry(row, entry));
    let documents = new.iter().flat_map(|entry| {
        documents(&entry.says).into_iter().map(|document| (entry.position, document))
    });
    batch.insert(DOCUMENTS, documents, |row, (position, document)| {
        row.push_bind(document.kind.as_str());
        row.push_bind(document.id.as_str().to_owned());
        row.push_bind(sql(position));
    });
    Ok(batch.execute(tx).await?)
}

const ENTRIES: Insert = Insert {
    into: "INSERT INTO entry \
         (position, previous_position, recorded_at, kind, body_digest, body, signatures, needs) ",
    columns: 8,
    rest: "",
};

const DOCUMENTS: Insert =
    Insert { into: "INSERT INTO entry_document (kind, id, position) ", columns: 3, rest: "" };

fn push_entry(row: &mut Row<'_>, entry: &NewEntry) {
    row.push_bind(sql(entry.position));
    row.push_bind(sql(entry.previous_position));
    row.push_bind(entry.recorded_at.0);
    row.push_bind(EntryKind::of(&entry.says).as_str());
    row.push_bind(entry.body.digest.0.to_vec());
    row.push_bind(entry.body.bytes.to_vec());
    row.push_bind(signatures_to_bytes(&entry.body.signatures));
    row.push_bind(to_bytes(needs(&entry.says)));
}

/// Forgets all entries. Revisions stay.
pub(super) async fn forget(tx: &mut Tx) -> Result<(), Fault> {
    for delete in ["DELETE FROM entry_document", "DELETE FROM entry"] {
        sqlx::query(delete).execute(&mut **tx).await?;
    }
    Ok(())
}
