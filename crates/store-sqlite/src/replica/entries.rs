//! Entries.

use std::fmt::Write as _;

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
    batch.then(|statement| {
        statement.push(DOCUMENTS).push_bind(concerned(new)).push(")");
    });
    Ok(batch.execute(tx).await?)
}

/// The documents of entries: `[["recipe", "custard", 3], ...]`. As one value, for thousands take longer
/// to hand over than to store. Kinds and ids need no escaping.
fn concerned(new: &[&NewEntry]) -> String {
    let mut json = String::from("[");
    for entry in new {
        for DocumentKey { kind, id } in documents(&entry.says) {
            let separator = if json.len() == 1 { "" } else { "," };
            let row = write!(json, "{separator}[\"{kind}\",\"{id}\",{}]", sql(entry.position));
            row.expect("a string takes all");
        }
    }
    json.push(']');
    json
}

const ENTRIES: Insert = Insert {
    into: "INSERT INTO entry \
         (position, previous_position, recorded_at, kind, body_digest, body, signatures, needs) ",
    columns: 8,
    rest: "",
};

const DOCUMENTS: &str = "INSERT INTO entry_document (kind, id, position) \
    SELECT value ->> 0, value ->> 1, value ->> 2 FROM json_each(";

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
