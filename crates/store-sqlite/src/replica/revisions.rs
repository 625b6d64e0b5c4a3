//! Revisions.

use chablon_model::{Digest, RevisionRef};
use chablon_store::{HeldRevision, NewHeldRevision};
use sqlx::{Sqlite, SqliteExecutor};

use super::Fault;
use crate::database::Database;
use crate::fault::Damage;
use crate::many::{self, Insert};
use crate::values::{Place, ReferenceRow, json};

#[derive(sqlx::FromRow)]
pub(super) struct HeldRow {
    #[sqlx(flatten)]
    reference: ReferenceRow,
    bytes: Vec<u8>,
}

impl HeldRow {
    pub(super) fn value(self) -> Result<HeldRevision, Damage> {
        Ok(HeldRevision { reference: self.reference.value()?, bytes: self.bytes.into() })
    }
}

const REVISIONS: Insert = Insert {
    into: "INSERT INTO revision (digest, kind, id, number, bytes) ",
    columns: 5,
    rest: " ON CONFLICT DO NOTHING",
};

const PINS: Insert = Insert {
    into: "INSERT INTO pin (revision, pinned) ",
    columns: 2,
    rest: " ON CONFLICT DO NOTHING",
};

/// Stores revisions. One that is held already has its pins already.
pub(super) async fn put(database: &Database, revisions: &[NewHeldRevision]) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    let rows = many::rows(REVISIONS, revisions, |row, NewHeldRevision { reference, bytes, .. }| {
        row.push_bind(&reference.digest.0[..]);
        row.push_bind(reference.key.kind.as_str());
        row.push_bind(reference.key.id.as_str());
        row.push_bind(reference.number);
        row.push_bind(&bytes[..]);
    });
    many::insert(&mut tx, rows).await?;
    let pins = revisions.iter().flat_map(|NewHeldRevision { reference, pins, .. }| {
        pins.iter().map(|pin| (&reference.digest, &pin.digest))
    });
    // In the order of the table, where neighbours share its pages.
    let mut pins: Vec<(&Digest, &Digest)> = pins.collect();
    pins.sort_unstable();
    let rows = many::rows(PINS, pins, |row, (from, to)| {
        row.push_bind(&from.0[..]);
        row.push_bind(&to.0[..]);
    });
    many::insert(&mut tx, rows).await?;
    Ok(tx.commit().await?)
}

/// What is not held among some revisions and all that they use.
pub(super) async fn missing<'c>(
    executor: impl SqliteExecutor<'c, Database = Sqlite>,
    from: impl IntoIterator<Item = Digest>,
) -> Result<Vec<Digest>, Fault> {
    let rows: Vec<Vec<u8>> = sqlx::query_scalar(
        "WITH RECURSIVE reached (digest) AS ( \
             SELECT unhex(value) FROM json_each(?1) \
             UNION SELECT p.pinned FROM reached JOIN pin p ON p.revision = reached.digest \
         ) \
         SELECT digest FROM reached \
         WHERE NOT EXISTS (SELECT 1 FROM revision r WHERE r.digest = reached.digest) \
         ORDER BY digest",
    )
    .bind(json(from))
    .fetch_all(executor)
    .await?;
    let digest = |row: &Vec<u8>| Place::new("pin", &"pinned").digest(row);
    Ok(rows.iter().map(digest).collect::<Result<_, _>>()?)
}

pub(super) async fn revisions(
    database: &Database,
    digests: &[Digest],
) -> Result<Vec<HeldRevision>, Fault> {
    let rows: Vec<HeldRow> = sqlx::query_as(
        "SELECT r.kind, r.id, r.number, r.digest, r.bytes \
         FROM json_each(?1) asked JOIN revision r ON r.digest = unhex(asked.value) \
         ORDER BY asked.key",
    )
    .bind(json(digests.iter().copied()))
    .fetch_all(database.readers())
    .await?;
    Ok(rows.into_iter().map(HeldRow::value).collect::<Result<_, _>>()?)
}

pub(super) async fn closure(
    database: &Database,
    digests: &[Digest],
) -> Result<Vec<RevisionRef>, Fault> {
    let rows: Vec<ReferenceRow> = sqlx::query_as(crate::values::CLOSURE)
        .bind(json(digests.iter().copied()))
        .fetch_all(database.readers())
        .await?;
    let mut found = crate::values::references(&rows)?;
    found.sort();
    Ok(found)
}
