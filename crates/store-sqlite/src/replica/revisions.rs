//! Revisions.

use chablon_model::{Digest, RevisionRef};
use chablon_store::{HeldRevision, NewHeldRevision};

use super::Fault;
use super::reach::Pins;
use crate::database::Database;
use crate::fault::Damage;
use crate::many::{Batch, Insert};
use crate::values::{ReferenceRow, json, to_bytes};

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
    into: "INSERT INTO revision (digest, kind, id, number, pins, bytes) ",
    columns: 6,
    rest: " ON CONFLICT DO NOTHING",
};

/// Stores revisions. One that is held already has its pins already.
pub(super) async fn put(
    database: &Database,
    at_hand: &Pins,
    revisions: &[NewHeldRevision],
) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    let mut batch = Batch::default();
    batch.insert(REVISIONS, revisions, |row, revision| {
        let NewHeldRevision { reference, bytes, pins } = revision;
        row.push_bind(&reference.digest.0[..]);
        row.push_bind(reference.key.kind.as_str());
        row.push_bind(reference.key.id.as_str());
        row.push_bind(reference.number);
        row.push_bind(to_bytes(pins.iter().map(|pin| pin.digest)));
        row.push_bind(&bytes[..]);
    });
    batch.execute(&mut tx).await?;
    tx.commit().await?;
    at_hand.stored(revisions);
    Ok(())
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

/// Which revisions these are, sorted.
pub(super) async fn references(
    database: &Database,
    digests: &[Digest],
) -> Result<Vec<RevisionRef>, Fault> {
    let rows: Vec<ReferenceRow> = sqlx::query_as(
        "SELECT r.kind, r.id, r.number, r.digest \
         FROM json_each(?1) asked JOIN revision r ON r.digest = unhex(asked.value)",
    )
    .bind(json(digests.iter().copied()))
    .fetch_all(database.readers())
    .await?;
    let mut found = crate::values::references(&rows)?;
    found.sort();
    Ok(found)
}
