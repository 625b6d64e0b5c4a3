//! Notes on lots.

use std::num::NonZeroU32;

use chablon_model::{IngredientId, LotEvent, LotNote, Moment, SiteId, SupplierId};
use chablon_store::{HubError, LotCommit, LotFilter, Request, StoredLotNote};

use super::{Fault, audit, sites};
use crate::database::{Database, Tx};
use crate::fault::Damage;
use crate::values::{Place, sql};

#[derive(sqlx::FromRow)]
struct LotRow {
    number: i64,
    recorded_at: i64,
    site: String,
    ingredient: String,
    supplier: Option<String>,
    lot: String,
    event: String,
    at: i64,
    author: String,
}

impl LotRow {
    fn value(self) -> Result<StoredLotNote, Damage> {
        let number = self.number;
        let place = Place::new("lot_note", &number);
        let unknown = || place.damage("the event is unknown");
        let note = LotNote {
            site: place.id(&self.site)?,
            ingredient: place.id(&self.ingredient)?,
            supplier: self.supplier.map(|one| place.id::<SupplierId>(&one)).transpose()?,
            event: LotEvent::parse(&self.event).ok_or_else(unknown)?,
            lot: self.lot,
            at: Moment(self.at),
            author: self.author,
        };
        let number = place.position(number)?;
        Ok(StoredLotNote { number, recorded_at: Moment(self.recorded_at), note })
    }
}

pub(super) async fn note(tx: &mut Tx, commit: &LotCommit) -> Result<u64, Fault> {
    if let Some(number) = before(tx, &commit.request).await? {
        return Ok(number);
    }
    let site = &commit.note.site;
    if sites::site(tx, site).await?.is_none() {
        return Err(HubError::UnknownSite(site.clone()).into());
    }
    insert(tx, commit).await?;
    let number = before(tx, &commit.request).await?;
    let lost = || Place::new("lot_note", &commit.request.id).damage("it was kept and isn't there");
    let number = number.ok_or_else(lost)?;
    audit::note(tx, &commit.record()).await?;
    Ok(number)
}

/// The number that a request got before.
async fn before(tx: &mut Tx, request: &Request) -> Result<Option<u64>, Fault> {
    let kept: Option<(i64, Vec<u8>)> =
        sqlx::query_as("SELECT number, request_digest FROM lot_note WHERE request_id = ?1")
            .bind(request.id.as_str())
            .fetch_optional(&mut **tx)
            .await?;
    let Some((number, digest)) = kept else { return Ok(None) };
    let place = Place::new("lot_note", &number);
    if place.digest(&digest)? == request.digest {
        return Ok(Some(place.position(number)?));
    }
    Err(HubError::RequestIdReused(request.id.clone()).into())
}

/// Keeps a note.
async fn insert(tx: &mut Tx, commit: &LotCommit) -> Result<(), Fault> {
    let LotCommit { request, at, note, .. } = commit;
    sqlx::query(
        "INSERT INTO lot_note (request_id, request_digest, recorded_at, site, ingredient, supplier, \
             lot, event, at, author) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10)",
    )
    .bind(request.id.as_str())
    .bind(&request.digest.0[..])
    .bind(at.0)
    .bind(note.site.as_str())
    .bind(note.ingredient.as_str())
    .bind(note.supplier.as_ref().map(SupplierId::as_str))
    .bind(&note.lot)
    .bind(note.event.as_str())
    .bind(note.at.0)
    .bind(&note.author)
    .execute(&mut **tx)
    .await?;
    Ok(())
}

pub(super) async fn list(
    database: &Database,
    filter: &LotFilter,
    after: u64,
    limit: NonZeroU32,
) -> Result<Vec<StoredLotNote>, Fault> {
    let rows: Vec<LotRow> = sqlx::query_as(
        "SELECT number, recorded_at, site, ingredient, supplier, lot, event, at, author \
         FROM lot_note \
         WHERE (?1 IS NULL OR site = ?1) AND (?2 IS NULL OR ingredient = ?2) \
             AND (?3 IS NULL OR lot = ?3) AND number > ?4 \
         ORDER BY number LIMIT ?5",
    )
    .bind(filter.site.as_ref().map(SiteId::as_str))
    .bind(filter.ingredient.as_ref().map(IngredientId::as_str))
    .bind(filter.lot.as_deref())
    .bind(sql(after))
    .bind(limit.get())
    .fetch_all(database.readers())
    .await?;
    Ok(rows.into_iter().map(LotRow::value).collect::<Result<_, _>>()?)
}
