//! Views of the feed.

use std::num::NonZeroU32;
use std::ops::RangeInclusive;

use chablon_model::{Digest, DocumentKey, ReleaseId, View};
use chablon_store::{FeedEntry, HubError, Page, SiteRecord};

use super::{Fault, sites, state};
use crate::database::{Database, Tx};
use crate::values::{EntryRow, Place, entries, sql};

/// A query over what the reader `?1` sees, where NULL is the whole feed.
///
/// `mine` is by what names the reader is addressed. `shown!(e)` holds for the entries `e` that are
/// in the view. It goes through the entries in order and looks each up in `addressee`, so that a
/// page ends the search: nearly all entries address all.
macro_rules! view_query {
    ($($sql:expr),+) => {
        concat!(
            "WITH mine (scope, name) AS ( \
                 VALUES ('all', '') \
                 UNION ALL SELECT 'site', ?1 \
                 UNION ALL SELECT 'group', g.group_name \
                 FROM site s JOIN site_group g ON g.revision = s.revision WHERE s.site = ?1 \
             ) ",
            $($sql),+
        )
    };
}

macro_rules! shown {
    ($entry:literal) => {
        concat!(
            " (?1 IS NULL OR EXISTS ( \
                SELECT 1 FROM mine JOIN addressee a ON (a.scope, a.name) = (mine.scope, mine.name) \
                WHERE a.position = ",
            $entry,
            ".position)) "
        )
    };
}

/// The columns of [`EntryRow`], of an entry `e`.
macro_rules! entry_columns {
    () => {
        concat!(
            " e.position, e.recorded_at, e.kind, e.body_digest, e.body, e.signatures, \
              coalesce((SELECT p.position FROM entry p WHERE p.position < e.position AND",
            shown!("p"),
            "ORDER BY p.position DESC LIMIT 1), 0) AS previous_position "
        )
    };
}

/// The parameter `?1` of a view.
pub(super) fn reader(view: &View) -> Option<&str> {
    match view {
        View::Whole => None,
        View::Site(site) => Some(site.as_str()),
    }
}

pub(super) async fn page(
    database: &Database,
    view: &View,
    after: u64,
    limit: NonZeroU32,
) -> Result<Page, Fault> {
    let mut tx = database.read().await?;
    let token = token(&mut tx, view).await?;
    let state = state::read(&mut *tx).await?;
    let entries = list(&mut tx, view, after, limit).await?;
    let end = entries.last().map_or(after, |entry| entry.position);
    let more = any_after(&mut tx, view, end).await?;
    Ok(Page { entries, more, state, view: token })
}

pub(super) async fn history(
    database: &Database,
    view: &View,
    key: &DocumentKey,
) -> Result<Vec<FeedEntry>, Fault> {
    let mut tx = database.read().await?;
    token(&mut tx, view).await?;
    let rows: Vec<EntryRow> = sqlx::query_as(view_query!(
        "SELECT",
        entry_columns!(),
        "FROM entry_document d JOIN entry e USING (position) \
         WHERE d.kind = ?2 AND d.id = ?3 AND",
        shown!("e"),
        "ORDER BY d.position"
    ))
    .bind(reader(view))
    .bind(key.kind.as_str())
    .bind(key.id.as_str())
    .fetch_all(&mut *tx)
    .await?;
    Ok(entries(rows)?)
}

pub(super) async fn release_positions(
    database: &Database,
    release: &ReleaseId,
) -> Result<Option<RangeInclusive<u64>>, Fault> {
    let row: (Option<i64>, Option<i64>) =
        sqlx::query_as("SELECT min(position), max(position) FROM entry WHERE release_id = ?1")
            .bind(release.as_str())
            .fetch_one(database.readers())
            .await?;
    let (Some(first), Some(last)) = row else { return Ok(None) };
    let place = Place::new("entry", release);
    Ok(Some(place.position(first)?..=place.position(last)?))
}

/// The token of a site's view.
async fn token(tx: &mut Tx, view: &View) -> Result<Option<Digest>, Fault> {
    let View::Site(site) = view else { return Ok(None) };
    match sites::site(tx, site).await? {
        Some(record) => Ok(Some(SiteRecord::view(&record))),
        None => Err(HubError::UnknownSite(site.clone()).into()),
    }
}

/// About `limit` entries: as many more as belong to the last one's commit.
async fn list(
    tx: &mut Tx,
    view: &View,
    after: u64,
    limit: NonZeroU32,
) -> Result<Vec<FeedEntry>, Fault> {
    let rows: Vec<EntryRow> = sqlx::query_as(view_query!(
        ", page (commit_last) AS ( \
             SELECT e.commit_last FROM entry e WHERE e.position > ?2 AND",
        shown!("e"),
        "ORDER BY e.position LIMIT ?3 \
         ) SELECT",
        entry_columns!(),
        "FROM entry e \
         WHERE e.position > ?2 AND e.position <= (SELECT max(commit_last) FROM page) AND",
        shown!("e"),
        "ORDER BY e.position"
    ))
    .bind(reader(view))
    .bind(sql(after))
    .bind(limit.get())
    .fetch_all(&mut **tx)
    .await?;
    Ok(entries(rows)?)
}

async fn any_after(tx: &mut Tx, view: &View, position: u64) -> Result<bool, Fault> {
    let found = sqlx::query_scalar(view_query!(
        "SELECT EXISTS (SELECT 1 FROM entry e WHERE e.position > ?2 AND",
        shown!("e"),
        ")"
    ))
    .bind(reader(view))
    .bind(sql(position))
    .fetch_one(&mut **tx)
    .await?;
    Ok(found)
}
