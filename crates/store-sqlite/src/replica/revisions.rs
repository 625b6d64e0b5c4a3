//! Revisions.

use chablon_model::{Digest, RevisionRef};
use chablon_store::{HeldRevision, NewHeldRevision};
use sqlx::{Sqlite, SqliteExecutor};

use super::Fault;
use crate::database::{Database, Tx};
use crate::fault::Damage;
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

pub(super) async fn put(database: &Database, revisions: &[NewHeldRevision]) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    for revision in revisions {
        insert(&mut tx, revision).await?;
    }
    Ok(tx.commit().await?)
}

async fn insert(tx: &mut Tx, revision: &NewHeldRevision) -> Result<(), Fault> {
    let RevisionRef { key, number, digest } = &revision.reference;
    let inserted = sqlx::query(
        "INSERT INTO revision (digest, kind, id, number, bytes) VALUES (?1, ?2, ?3, ?4, ?5) \
         ON CONFLICT DO NOTHING",
    )
    .bind(&digest.0[..])
    .bind(key.kind.as_str())
    .bind(key.id.as_str())
    .bind(number)
    .bind(&revision.bytes[..])
    .execute(&mut **tx)
    .await?;
    if inserted.rows_affected() == 0 {
        return Ok(());
    }
    for pin in &revision.pins {
        sqlx::query("INSERT INTO pin (revision, pinned) VALUES (?1, ?2) ON CONFLICT DO NOTHING")
            .bind(&digest.0[..])
            .bind(&pin.digest.0[..])
            .execute(&mut **tx)
            .await?;
    }
    Ok(())
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
