//! Sites.

use std::collections::BTreeMap;

use chablon_model::{DocumentKind, RevisionRef, SiteId};
use chablon_store::{NewPart, SiteRecord};
use sqlx::PgExecutor;

use crate::database::{Database, Tx};
use crate::fault::{Damage, Fault};
use crate::values::{Place, ReferenceRow, array};

#[derive(sqlx::FromRow)]
struct SiteRow {
    site: String,
    #[sqlx(flatten)]
    stated_by: ReferenceRow,
    groups: Vec<String>,
}

impl SiteRow {
    fn value(&self) -> Result<SiteRecord, Damage> {
        let place = Place::new("site", &self.site);
        Ok(SiteRecord {
            site: place.id(&self.site)?,
            groups: self.groups.iter().map(|group| place.id(group)).collect::<Result<_, _>>()?,
            stated_by: self.stated_by.value()?,
        })
    }
}

/// One site, or all where `$1` is NULL.
const SITES: &str = "SELECT s.site, r.kind, r.id, r.number, r.digest, \
         ARRAY (SELECT g.group_name FROM site_group g WHERE g.revision = s.revision) AS groups \
     FROM site s JOIN revision r ON r.digest = s.revision \
     WHERE $1 IS NULL OR s.site = $1 ORDER BY s.site";

pub(super) async fn site(
    executor: impl PgExecutor<'_>,
    site: &SiteId,
) -> Result<Option<SiteRecord>, Fault> {
    let row: Option<SiteRow> =
        sqlx::query_as(SITES).bind(site.as_str()).fetch_optional(executor).await?;
    Ok(row.as_ref().map(SiteRow::value).transpose()?)
}

pub(super) async fn one(database: &Database, id: &SiteId) -> Result<Option<SiteRecord>, Fault> {
    site(database.readers(), id).await
}

pub(super) async fn all(database: &Database) -> Result<Vec<SiteRecord>, Fault> {
    let rows: Vec<SiteRow> =
        sqlx::query_as(SITES).bind(None::<&str>).fetch_all(database.readers()).await?;
    Ok(rows.iter().map(SiteRow::value).collect::<Result<_, _>>()?)
}

/// The site documents of a release count from now on; of two of one site, the later part's.
///
/// The rows stay locked until the commit, so that another change of the same site gets a later
/// position. They are taken in order, lest two releases wait for each other.
pub(super) async fn follow_release(tx: &mut Tx, parts: &[NewPart]) -> Result<(), Fault> {
    let items = parts.iter().flat_map(|part| &part.manifest.items);
    let documents = items.filter(|item| item.key.kind == DocumentKind::Site);
    let last: BTreeMap<&str, _> =
        documents.map(|item| (item.key.id.as_str(), item.digest)).collect();
    if last.is_empty() {
        return Ok(());
    }
    sqlx::query(
        "INSERT INTO site (site, revision) SELECT site, revision FROM unnest($1, $2) \
             WITH ORDINALITY AS released (site, revision, turn) ORDER BY turn \
         ON CONFLICT (site) DO UPDATE SET revision = excluded.revision",
    )
    .bind(last.keys().copied().collect::<Vec<_>>())
    .bind(array(last.into_values()))
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Where the withdrawn revision counts, the one gone back to counts from now on.
///
/// The site's row is locked whether it changes or not: a release under way may be making the
/// withdrawn revision count, and then comes either wholly before this or wholly after it.
pub(super) async fn follow_withdrawal(
    tx: &mut Tx,
    withdrawn: &RevisionRef,
    target: &RevisionRef,
) -> Result<(), Fault> {
    if withdrawn.key.kind != DocumentKind::Site {
        return Ok(());
    }
    sqlx::query(
        "UPDATE site SET revision = CASE WHEN revision = $2 THEN $3 ELSE revision END \
         WHERE site = $1",
    )
    .bind(withdrawn.key.id.as_str())
    .bind(&withdrawn.digest.0[..])
    .bind(&target.digest.0[..])
    .execute(&mut **tx)
    .await?;
    Ok(())
}
