//! Revisions.

use std::num::NonZeroU32;

use chablon_model::{Digest, DocumentKey, RevisionRef, View, Visibility};
use chablon_store::{Ground, Head, NewRevision, StoredRevision};

use super::Fault;
use super::trust::LatestRoot;
use crate::database::Database;
use crate::fault::Damage;
use crate::many::{Batch, Insert};
use crate::values::{Place, ReferenceRow, json, keys, latest};

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

const REVISIONS: Insert = Insert {
    into: "INSERT INTO revision (digest, kind, id, number, visible_to_site, bytes) ",
    columns: 6,
    rest: "",
};

const PINS: Insert = Insert {
    into: "INSERT INTO pin (revision, pinned) ",
    columns: 2,
    rest: " ON CONFLICT DO NOTHING",
};

const GROUPS: Insert =
    Insert { into: "INSERT INTO site_group (revision, group_name) ", columns: 2, rest: "" };

/// Stores revisions. What they use may be among them in any order, so the pins come afterwards.
pub(super) fn insert(change: &mut Batch, revisions: &[&NewRevision]) {
    change.insert(REVISIONS, revisions, |row, revision| {
        let RevisionRef { key, number, digest } = &revision.reference;
        row.push_bind(&digest.0[..]);
        row.push_bind(key.kind.as_str());
        row.push_bind(key.id.as_str());
        row.push_bind(number);
        row.push_bind(only_site(revision));
        row.push_bind(&revision.bytes[..]);
    });
    insert_pins(change, revisions);
    insert_groups(change, revisions);
}

fn only_site(revision: &NewRevision) -> Option<&str> {
    match &revision.visible_to {
        Visibility::Everyone => None,
        Visibility::Site(site) => Some(site.as_str()),
    }
}

fn insert_pins(change: &mut Batch, revisions: &[&NewRevision]) {
    let pins = revisions.iter().flat_map(|NewRevision { reference, pins, .. }| {
        pins.iter().map(|pin| (&reference.digest, &pin.digest))
    });
    change.insert(PINS, pins, |row, (from, to)| {
        row.push_bind(&from.0[..]);
        row.push_bind(&to.0[..]);
    });
}

fn insert_groups(change: &mut Batch, revisions: &[&NewRevision]) {
    let groups = revisions.iter().flat_map(|NewRevision { reference, site_groups, .. }| {
        site_groups.iter().flatten().map(|group| (&reference.digest, group.as_str()))
    });
    change.insert(GROUPS, groups, |row, (digest, group)| {
        row.push_bind(&digest.0[..]);
        row.push_bind(group);
    });
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

/// The latest root, if there is one, and a line for each head: `recipe/custard 3`, a space, the digest
/// in hexadecimal digits, a space, and the only site that may see it, if it isn't for all.
#[derive(sqlx::FromRow)]
struct GroundRow {
    #[sqlx(flatten)]
    root: LatestRoot,
    heads: Option<String>,
}

const GROUND: &str = concat!(
    "SELECT t.version, t.digest, t.body, t.signatures, \
         (SELECT group_concat(asked.value || ' ' || r.number || ' ' || lower(hex(r.digest)) || ' ' \
             || coalesce(r.visible_to_site, ''), char(10)) ",
    latest!("?1"),
    " WHERE ?2 IS NULL OR r.visible_to_site IS NULL OR r.visible_to_site = ?2) AS heads \
     FROM feed LEFT JOIN trust_root t ON t.version = (SELECT max(version) FROM trust_root) \
     WHERE only_row = 1"
);

pub(super) async fn ground(
    database: &Database,
    view: &View,
    documents: &[DocumentKey],
) -> Result<Ground, Fault> {
    let row: GroundRow = sqlx::query_as(GROUND)
        .bind(keys(documents))
        .bind(super::feed::reader(view))
        .fetch_one(database.readers())
        .await?;
    let heads = row.heads.iter().flat_map(|list| list.lines()).map(head);
    let heads = heads.map(|one| one.map(|one| (one.reference.key.clone(), one)));
    Ok(Ground { heads: heads.collect::<Result<_, _>>()?, root: row.root.value()? })
}

fn head(line: &str) -> Result<Head, Damage> {
    let place = Place::new("revision", &line);
    let (reference, site) = line.rsplit_once(' ').ok_or_else(|| place.damage("it is cut"))?;
    let visible_to = match site {
        "" => Visibility::Everyone,
        site => Visibility::Site(place.id(site)?),
    };
    Ok(Head { reference: super::release::reference(reference)?, visible_to })
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
