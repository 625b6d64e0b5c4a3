//! Views of the feed.

use std::num::NonZeroU32;
use std::ops::RangeInclusive;

use chablon_model::{Digest, DocumentKey, ReleaseId, View};
use chablon_store::{FeedEntry, HubError, Page};

use super::{audience, sites, state};
use crate::database::{Database, Tx};
use crate::fault::Fault;
use crate::values::{EntryRow, Place, entries, sql};

/// The positions that the reader `$1` sees, within bounds, in no order; bounds with a limit hold
/// for each of the ranges.
///
/// `$1` are the names by which the reader is addressed, each of which has a range of `addressee`.
/// NULL is the whole feed.
macro_rules! seen {
    ($bounds:literal) => {
        concat!(
            "((SELECT position FROM place WHERE $1 IS NULL AND position ",
            $bounds,
            ") UNION (SELECT range.position FROM unnest($1) AS mine (name) CROSS JOIN LATERAL ( \
                 SELECT position FROM addressee WHERE addressee.name = mine.name AND position ",
            $bounds,
            ") AS range)) AS seen "
        )
    };
}

/// The columns of [`EntryRow`] for the entries at the places `p` that a condition names, looked up
/// one by one: without the fence (`OFFSET 0`) a plan that is made before the bounds are known goes
/// through all places instead.
macro_rules! shown {
    ($condition:literal) => {
        concat!(
            "CROSS JOIN LATERAL ( \
                 SELECT p.position, e.recorded_at, e.kind, e.body_digest, e.body, e.signatures, \
                     coalesce((SELECT max(position) FROM ",
            seen!("< p.position ORDER BY position DESC LIMIT 1"),
            "), 0) AS previous_position \
                 FROM place p JOIN entry e USING (entry_id) WHERE ",
            $condition,
            " OFFSET 0) AS shown ORDER BY shown.position"
        )
    };
}

/// Who reads.
struct Reader {
    /// By which names it is addressed; none for the whole feed.
    names: Option<Vec<String>>,
    /// The token of a site's view.
    view: Option<Digest>,
}

impl Reader {
    async fn of(tx: &mut Tx, view: &View) -> Result<Self, Fault> {
        let View::Site(site) = view else { return Ok(Self { names: None, view: None }) };
        match sites::site(&mut **tx, site).await? {
            Some(record) => {
                Ok(Self { names: Some(audience::of_site(&record)), view: Some(record.view()) })
            }
            None => Err(HubError::UnknownSite(site.clone()).into()),
        }
    }
}

pub(super) async fn page(
    database: &Database,
    view: &View,
    after: u64,
    limit: NonZeroU32,
) -> Result<Page, Fault> {
    let mut tx = database.read().await?;
    let reader = Reader::of(&mut tx, view).await?;
    let state = state::read(&mut *tx).await?;
    let entries = list(&mut tx, &reader, after, limit).await?;
    let more = match entries.last() {
        Some(last) if last.position < state.position => {
            any_after(&mut tx, &reader, last.position).await?
        }
        _ => false,
    };
    Ok(Page { entries, more, state, view: reader.view })
}

pub(super) async fn history(
    database: &Database,
    view: &View,
    key: &DocumentKey,
) -> Result<Vec<FeedEntry>, Fault> {
    let mut tx = database.read().await?;
    let reader = Reader::of(&mut tx, view).await?;
    let rows: Vec<EntryRow> = sqlx::query_as(concat!(
        "SELECT shown.* FROM ( \
             SELECT entry_id FROM entry_document WHERE kind = $2 AND id = $3 \
         ) AS concerned ",
        shown!(
            "p.entry_id = concerned.entry_id AND ($1 IS NULL OR EXISTS ( \
                 SELECT 1 FROM addressee a WHERE a.name = ANY ($1) AND a.position = p.position))"
        )
    ))
    .bind(&reader.names)
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
    let row: (Option<i64>, Option<i64>) = sqlx::query_as(
        "SELECT min(p.position), max(p.position) FROM entry e JOIN place p USING (entry_id) \
         WHERE e.release_id = $1",
    )
    .bind(release.as_str())
    .fetch_one(database.readers())
    .await?;
    let (Some(first), Some(last)) = row else { return Ok(None) };
    let place = Place::new("entry", release);
    Ok(Some(place.position(first)?..=place.position(last)?))
}

/// About `limit` entries: as many more as belong to the last one's commit.
async fn list(
    tx: &mut Tx,
    reader: &Reader,
    after: u64,
    limit: NonZeroU32,
) -> Result<Vec<FeedEntry>, Fault> {
    let rows: Vec<EntryRow> = sqlx::query_as(concat!(
        "WITH page (position) AS ( \
             SELECT position FROM ",
        seen!("> $2 ORDER BY position LIMIT $3"),
        "ORDER BY position LIMIT $3 \
         ), reach (last) AS ( \
             SELECT commit_last FROM place WHERE position = (SELECT max(position) FROM page) \
         ) SELECT shown.* FROM ",
        seen!("> $2 AND position <= (SELECT last FROM reach)"),
        shown!("p.position = seen.position")
    ))
    .bind(&reader.names)
    .bind(sql(after))
    .bind(i64::from(limit.get()))
    .fetch_all(&mut **tx)
    .await?;
    Ok(entries(rows)?)
}

async fn any_after(tx: &mut Tx, reader: &Reader, position: u64) -> Result<bool, Fault> {
    let found = sqlx::query_scalar(concat!(
        "SELECT EXISTS (SELECT 1 FROM ",
        seen!("> $2 ORDER BY position LIMIT 1"),
        ")"
    ))
    .bind(&reader.names)
    .bind(sql(position))
    .fetch_one(&mut **tx)
    .await?;
    Ok(found)
}
