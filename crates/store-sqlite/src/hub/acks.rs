//! Acknowledgements.

use chablon_model::{Digest, Moment, SiteId};
use chablon_store::backend::check_ack;
use chablon_store::{Ack, AckFilter, HubError};

use super::Fault;
use crate::database::{Database, Tx};
use crate::fault::Damage;
use crate::values::{Place, sql};

#[derive(sqlx::FromRow)]
struct AckRow {
    position: i64,
    site: String,
    statement: String,
    at: i64,
    reason: Option<String>,
    body_digest: Vec<u8>,
}

impl AckRow {
    fn value(&self) -> Result<Ack, Damage> {
        let key = format!("{} {}", self.position, self.site);
        let place = Place::new("acknowledgement", &key);
        Ok(Ack {
            site: place.id(&self.site)?,
            position: place.position(self.position)?,
            body_digest: place.digest(&self.body_digest)?,
            statement: place.statement(&self.statement)?,
            at: Moment(self.at),
            reason: self.reason.clone(),
        })
    }
}

pub(super) async fn acknowledge(tx: &mut Tx, acks: &[Ack]) -> Result<(), Fault> {
    for ack in acks {
        check(tx, ack).await?;
        insert(tx, ack).await?;
    }
    Ok(())
}

pub(super) async fn acks(database: &Database, filter: &AckFilter) -> Result<Vec<Ack>, Fault> {
    let rows: Vec<AckRow> = sqlx::query_as(
        "SELECT a.position, a.site, a.statement, a.at, a.reason, e.body_digest \
         FROM acknowledgement a JOIN entry e USING (position) \
         WHERE a.position BETWEEN ?1 AND ?2 AND (?3 IS NULL OR a.site = ?3) \
         ORDER BY a.position, a.site, \
             CASE a.statement WHEN 'received' THEN 0 WHEN 'in_use' THEN 1 ELSE 2 END",
    )
    .bind(sql(*filter.positions.start()))
    .bind(sql(*filter.positions.end()))
    .bind(filter.site.as_ref().map(SiteId::as_str))
    .fetch_all(database.readers())
    .await?;
    Ok(rows.iter().map(AckRow::value).collect::<Result<_, _>>()?)
}

async fn check(tx: &mut Tx, ack: &Ack) -> Result<(), Fault> {
    let position = ack.position;
    let stored = body_digest(tx, position).await?.ok_or(HubError::UnknownEntry { position })?;
    Ok(check_ack(position, ack.body_digest, stored)?)
}

/// The digest of the body at a position.
pub(super) async fn body_digest(tx: &mut Tx, position: u64) -> Result<Option<Digest>, Fault> {
    let stored: Option<Vec<u8>> =
        sqlx::query_scalar("SELECT body_digest FROM entry WHERE position = ?1")
            .bind(sql(position))
            .fetch_optional(&mut **tx)
            .await?;
    let place = Place::new("entry", &position);
    Ok(stored.map(|digest| place.digest(&digest)).transpose()?)
}

async fn insert(tx: &mut Tx, ack: &Ack) -> Result<(), Fault> {
    sqlx::query(
        "INSERT INTO acknowledgement (position, site, statement, at, reason) \
         VALUES (?1, ?2, ?3, ?4, ?5) \
         ON CONFLICT (position, site, statement) DO UPDATE \
             SET at = excluded.at, reason = excluded.reason \
             WHERE ?6 AND excluded.at > acknowledgement.at",
    )
    .bind(sql(ack.position))
    .bind(ack.site.as_str())
    .bind(ack.statement.as_str())
    .bind(ack.at.0)
    .bind(ack.reason.as_deref())
    .bind(ack.statement.renews())
    .execute(&mut **tx)
    .await?;
    Ok(())
}
