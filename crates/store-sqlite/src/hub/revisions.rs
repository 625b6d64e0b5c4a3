//! Revisions.

use std::num::NonZeroU32;

use chablon_model::{Digest, DocumentKey, RevisionRef, View, Visibility};
use chablon_store::{Head, NewRevision, StoredRevision};

use super::Fault;
use crate::database::{Database, Tx};
use crate::fault::Damage;
use crate::values::{Place, ReferenceRow, json};

#[derive(sqlx::FromRow)]
struct HeadRow {
    #[sqlx(flatten)]
    reference: ReferenceRow,
    visible_to_site: Option<String>,
}

impl HeadRow {
    fn value(&self) -> Result<Head, Damage> {
        let reference = self.reference.value()?;
        let place = Place::new("revision", &reference.digest);
        let visible_to = match &self.visible_to_site {
            None => Visibility::Everyone,
            Some(site) => Visibility::Site(place.id(site)?),
        };
        Ok(Head { reference, visible_to })
    }
}

#[derive(sqlx::FromRow)]
struct RevisionRow {
    #[sqlx(flatten)]
    head: HeadRow,
    bytes: Vec<u8>,
}

impl RevisionRow {
    fn value(self) -> Result<StoredRevision, Damage> {
        let Head { reference, visible_to } = self.head.value()?;
        Ok(StoredRevision { reference, visible_to, bytes: self.bytes.into() })
    }
}

/// Stores revisions. What they use may be among them in any order, so the pins come afterwards.
pub(super) async fn insert(tx: &mut Tx, revisions: &[&NewRevision]) -> Result<(), Fault> {
    for revision in revisions {
        insert_bytes(tx, revision).await?;
    }
    for revision in revisions {
        for pin in &revision.pins {
            insert_pin(tx, &revision.reference, pin).await?;
        }
        for group in revision.site_groups.iter().flatten() {
            sqlx::query("INSERT INTO site_group (revision, group_name) VALUES (?1, ?2)")
                .bind(&revision.reference.digest.0[..])
                .bind(group.as_str())
                .execute(&mut **tx)
                .await?;
        }
    }
    Ok(())
}

async fn insert_bytes(tx: &mut Tx, revision: &NewRevision) -> Result<(), Fault> {
    let RevisionRef { key, number, digest } = &revision.reference;
    let site = match &revision.visible_to {
        Visibility::Everyone => None,
        Visibility::Site(site) => Some(site.as_str()),
    };
    sqlx::query(
        "INSERT INTO revision (digest, kind, id, number, visible_to_site, bytes) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )
    .bind(&digest.0[..])
    .bind(key.kind.as_str())
    .bind(key.id.as_str())
    .bind(number)
    .bind(site)
    .bind(&revision.bytes[..])
    .execute(&mut **tx)
    .await?;
    Ok(())
}

async fn insert_pin(tx: &mut Tx, from: &RevisionRef, to: &RevisionRef) -> Result<(), Fault> {
    sqlx::query("INSERT INTO pin (revision, pinned) VALUES (?1, ?2) ON CONFLICT DO NOTHING")
        .bind(&from.digest.0[..])
        .bind(&to.digest.0[..])
        .execute(&mut **tx)
        .await?;
    Ok(())
}

pub(super) async fn heads(
    database: &Database,
    view: &View,
    after: Option<&DocumentKey>,
    limit: NonZeroU32,
) -> Result<Vec<Head>, Fault> {
    let rows: Vec<HeadRow> = sqlx::query_as(
        "SELECT kind, id, number, digest, visible_to_site \
         FROM revision r \
         WHERE (kind, id) > (?1, ?2) \
           AND number = (SELECT max(m.number) FROM revision m WHERE m.kind = r.kind AND m.id = r.id) \
           AND (?3 IS NULL OR visible_to_site IS NULL OR visible_to_site = ?3) \
         ORDER BY kind, id LIMIT ?4",
    )
    .bind(after.map_or("", |key| key.kind.as_str()))
    .bind(after.map_or("", |key| key.id.as_str()))
    .bind(super::feed::reader(view))
    .bind(limit.get())
    .fetch_all(database.readers())
    .await?;
    Ok(rows.iter().map(HeadRow::value).collect::<Result<_, _>>()?)
}

pub(super) async fn revisions(
    database: &Database,
    digests: &[Digest],
) -> Result<Vec<StoredRevision>, Fault> {
    let rows: Vec<RevisionRow> = sqlx::query_as(
        "SELECT r.kind, r.id, r.number, r.digest, r.visible_to_site, r.bytes \
         FROM json_each(?1) asked JOIN revision r ON r.digest = unhex(asked.value) \
         ORDER BY asked.key",
    )
    .bind(json(digests.iter().copied()))
    .fetch_all(database.readers())
    .await?;
    Ok(rows.into_iter().map(RevisionRow::value).collect::<Result<_, _>>()?)
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
