//! Revisions.

use std::collections::BTreeMap;
use std::num::NonZeroU32;

use chablon_model::{Digest, DocumentKey, RevisionRef, View, Visibility};
use chablon_store::{Ground, Head, NewRevision, StoredRevision};
use sqlx::PgExecutor;

use super::trust;
use crate::database::{Database, Tx};
use crate::fault::{Damage, Fault};
use crate::values::{Place, ReferenceRow, array, references};

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

/// Stores revisions, in the order of their names: two commits with the same documents would else
/// wait for each other. What they use may be among them in any order, so the pins come afterwards.
pub(super) async fn insert(tx: &mut Tx, revisions: &[&NewRevision]) -> Result<(), Fault> {
    if revisions.is_empty() {
        return Ok(());
    }
    let mut sorted = revisions.to_vec();
    sorted.sort_by_key(|revision| &revision.reference);
    insert_bytes(tx, &sorted).await?;
    insert_pins(tx, &sorted).await?;
    insert_groups(tx, &sorted).await
}

async fn insert_bytes(tx: &mut Tx, revisions: &[&NewRevision]) -> Result<(), Fault> {
    let references = || revisions.iter().map(|revision| &revision.reference);
    let bytes: Vec<&[u8]> = revisions.iter().map(|revision| &revision.bytes[..]).collect();
    sqlx::query(
        "INSERT INTO revision (digest, kind, id, number, visible_to_site, bytes) \
         SELECT digest, kind, id, number, site, bytes \
         FROM unnest($1, $2, $3, $4, $5, $6) \
             WITH ORDINALITY AS new (digest, kind, id, number, site, bytes, turn) ORDER BY turn",
    )
    .bind(array(references().map(|reference| reference.digest)))
    .bind(references().map(|reference| reference.key.kind.as_str()).collect::<Vec<_>>())
    .bind(references().map(|reference| reference.key.id.as_str()).collect::<Vec<_>>())
    .bind(references().map(|reference| i64::from(reference.number)).collect::<Vec<_>>())
    .bind(revisions.iter().map(|revision| only_site(revision)).collect::<Vec<_>>())
    .bind(bytes)
    .execute(&mut **tx)
    .await?;
    Ok(())
}

fn only_site(revision: &NewRevision) -> Option<&str> {
    match &revision.visible_to {
        Visibility::Everyone => None,
        Visibility::Site(site) => Some(site.as_str()),
    }
}

async fn insert_pins(tx: &mut Tx, revisions: &[&NewRevision]) -> Result<(), Fault> {
    let pins = revisions.iter().flat_map(|NewRevision { reference, pins, .. }| {
        pins.iter().map(|pin| (reference.digest.0, pin.digest.0))
    });
    let (from, to): (Vec<_>, Vec<_>) = pins.unzip();
    if from.is_empty() {
        return Ok(());
    }
    sqlx::query(
        "INSERT INTO pin (revision, pinned) SELECT * FROM unnest($1, $2) ON CONFLICT DO NOTHING",
    )
    .bind(from)
    .bind(to)
    .execute(&mut **tx)
    .await?;
    Ok(())
}

async fn insert_groups(tx: &mut Tx, revisions: &[&NewRevision]) -> Result<(), Fault> {
    let groups = revisions.iter().flat_map(|NewRevision { reference, site_groups, .. }| {
        site_groups.iter().flatten().map(|group| (reference.digest.0, group.as_str()))
    });
    let (digests, groups): (Vec<_>, Vec<_>) = groups.unzip();
    if digests.is_empty() {
        return Ok(());
    }
    sqlx::query("INSERT INTO site_group (revision, group_name) SELECT * FROM unnest($1, $2)")
        .bind(digests)
        .bind(groups)
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
    let reader = match view {
        View::Whole => None,
        View::Site(site) => Some(site.as_str()),
    };
    let rows: Vec<HeadRow> = sqlx::query_as(
        "SELECT kind, id, number, digest, visible_to_site \
         FROM revision r \
         WHERE (kind, id) > ($1, $2) \
           AND number = (SELECT max(m.number) FROM revision m WHERE m.kind = r.kind AND m.id = r.id) \
           AND ($3 IS NULL OR visible_to_site IS NULL OR visible_to_site = $3) \
         ORDER BY kind, id LIMIT $4",
    )
    .bind(after.map_or("", |key| key.kind.as_str()))
    .bind(after.map_or("", |key| key.id.as_str()))
    .bind(reader)
    .bind(i64::from(limit.get()))
    .fetch_all(database.readers())
    .await?;
    Ok(rows.iter().map(HeadRow::value).collect::<Result<_, _>>()?)
}

/// The latest revision of each of some documents.
pub(super) async fn latest(
    executor: impl PgExecutor<'_>,
    documents: impl IntoIterator<Item = &DocumentKey>,
) -> Result<BTreeMap<DocumentKey, Head>, Fault> {
    let (kinds, ids): (Vec<&str>, Vec<&str>) =
        documents.into_iter().map(|key| (key.kind.as_str(), key.id.as_str())).unzip();
    let rows: Vec<HeadRow> = sqlx::query_as(
        "SELECT latest.* FROM unnest($1, $2) AS asked (kind, id) CROSS JOIN LATERAL ( \
             SELECT r.kind, r.id, r.number, r.digest, r.visible_to_site FROM revision r \
             WHERE r.kind = asked.kind AND r.id = asked.id ORDER BY r.number DESC LIMIT 1 \
         ) latest",
    )
    .bind(kinds)
    .bind(ids)
    .fetch_all(executor)
    .await?;
    let heads = rows.iter().map(|row| row.value().map(|head| (head.reference.key.clone(), head)));
    Ok(heads.collect::<Result<_, _>>()?)
}

pub(super) async fn ground(
    database: &Database,
    view: &View,
    documents: &[DocumentKey],
) -> Result<Ground, Fault> {
    let heads = latest(database.readers(), documents);
    let (root, mut heads) = tokio::try_join!(trust::latest(database.readers()), heads)?;
    heads.retain(|_, head| head.is_visible_in(view));
    Ok(Ground { root, heads })
}

pub(super) async fn revisions(
    database: &Database,
    digests: &[Digest],
) -> Result<Vec<StoredRevision>, Fault> {
    let rows: Vec<RevisionRow> = sqlx::query_as(
        "SELECT r.kind, r.id, r.number, r.digest, r.visible_to_site, r.bytes \
         FROM unnest($1) WITH ORDINALITY AS asked (digest, turn) JOIN revision r USING (digest) \
         ORDER BY asked.turn",
    )
    .bind(array(digests.iter().copied()))
    .fetch_all(database.readers())
    .await?;
    Ok(rows.into_iter().map(RevisionRow::value).collect::<Result<_, _>>()?)
}

/// The revisions of a list and all that they use, directly or not.
const CLOSURE: &str = "WITH RECURSIVE reached (digest) AS ( \
         SELECT * FROM unnest($1) \
         UNION SELECT p.pinned FROM reached JOIN pin p ON p.revision = reached.digest \
     ) \
     SELECT r.kind, r.id, r.number, r.digest FROM reached JOIN revision r USING (digest)";

pub(super) async fn closure(
    database: &Database,
    digests: &[Digest],
) -> Result<Vec<RevisionRef>, Fault> {
    let rows: Vec<ReferenceRow> = sqlx::query_as(CLOSURE)
        .bind(array(digests.iter().copied()))
        .fetch_all(database.readers())
        .await?;
    let mut found = references(&rows)?;
    found.sort();
    Ok(found)
}
