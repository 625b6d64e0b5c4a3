//! Sites.

use std::collections::BTreeMap;

use chablon_model::{Digest, DocumentKind, RevisionRef, SiteId};
use chablon_store::{NewPart, SiteRecord};

use super::Fault;
use crate::database::{Database, Tx};
use crate::fault::Damage;
use crate::many::{Batch, Insert};
use crate::values::{Place, ReferenceRow};

#[derive(sqlx::FromRow)]
struct SiteRow {
    site: String,
    #[sqlx(flatten)]
    stated_by: ReferenceRow,
    /// Separated by spaces, which no id contains.
    groups: String,
}

impl SiteRow {
    fn value(&self) -> Result<SiteRecord, Damage> {
        let place = Place::new("site", &self.site);
        Ok(SiteRecord {
            site: place.id(&self.site)?,
            groups: self
                .groups
                .split_ascii_whitespace()
                .map(|g| place.id(g))
                .collect::<Result<_, _>>()?,
            stated_by: self.stated_by.value()?,
        })
    }
}

/// One site, or all where `?1` is NULL.
const SITES: &str = "SELECT s.site, r.kind, r.id, r.number, r.digest, coalesce( \
         (SELECT group_concat(g.group_name, ' ') FROM site_group g WHERE g.revision = s.revision), \
         '') AS groups \
     FROM site s JOIN revision r ON r.digest = s.revision \
     WHERE ?1 IS NULL OR s.site = ?1 ORDER BY s.site";

pub(super) async fn site(tx: &mut Tx, site: &SiteId) -> Result<Option<SiteRecord>, Fault> {
    let row: Option<SiteRow> =
        sqlx::query_as(SITES).bind(site.as_str()).fetch_optional(&mut **tx).await?;
    Ok(row.as_ref().map(SiteRow::value).transpose()?)
}

pub(super) async fn sites(database: &Database) -> Result<Vec<SiteRecord>, Fault> {
    let rows: Vec<SiteRow> =
        sqlx::query_as(SITES).bind(None::<&str>).fetch_all(database.readers()).await?;
    Ok(rows.iter().map(SiteRow::value).collect::<Result<_, _>>()?)
}

const SITES_BY_RELEASE: Insert = Insert {
    into: "INSERT INTO site (site, revision) ",
    columns: 2,
    rest: " ON CONFLICT (site) DO UPDATE SET revision = excluded.revision",
};

/// The site documents of a release count from now on; of two of one site, the later part's.
pub(super) fn follow_release(change: &mut Batch, parts: &[NewPart]) {
    let items = parts.iter().flat_map(|part| &part.manifest.items);
    let documents = items.filter(|item| item.key.kind == DocumentKind::Site);
    let last: BTreeMap<&str, &Digest> =
        documents.map(|item| (item.key.id.as_str(), &item.digest)).collect();
    change.insert(SITES_BY_RELEASE, last, |row, (site, revision)| {
        row.push_bind(site);
        row.push_bind(&revision.0[..]);
    });
}

/// Where the withdrawn revision counts, the one gone back to counts from now on.
pub(super) async fn follow_withdrawal(
    tx: &mut Tx,
    withdrawn: &RevisionRef,
    target: &RevisionRef,
) -> Result<(), Fault> {
    sqlx::query("UPDATE site SET revision = ?2 WHERE revision = ?1")
        .bind(&withdrawn.digest.0[..])
        .bind(&target.digest.0[..])
        .execute(&mut **tx)
        .await?;
    Ok(())
}
