//! Acknowledgements.

use std::collections::HashMap;
use std::sync::Arc;

use chablon_model::{Moment, SiteId};
use chablon_store::backend::check_ack;
use chablon_store::{Ack, AckFilter, HubError, Statement};

use crate::database::{Database, Tx};
use crate::fault::{Damage, Fault};
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

pub(super) async fn acknowledge(database: Database, acks: Arc<Vec<Ack>>) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    check(&mut tx, &acks).await?;
    insert(&mut tx, &acks).await?;
    Ok(tx.commit().await?)
}

pub(super) async fn acks(database: &Database, filter: &AckFilter) -> Result<Vec<Ack>, Fault> {
    let rows: Vec<AckRow> = sqlx::query_as(
        "SELECT a.position, a.site, a.statement, a.at, a.reason, e.body_digest \
         FROM acknowledgement a JOIN place p USING (position) JOIN entry e USING (entry_id) \
         WHERE a.position BETWEEN $1 AND $2 AND ($3 IS NULL OR a.site = $3) \
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

async fn check(tx: &mut Tx, acks: &[Ack]) -> Result<(), Fault> {
    let rows: Vec<(i64, Vec<u8>)> = sqlx::query_as(
        "SELECT p.position, e.body_digest FROM place p JOIN entry e USING (entry_id) \
         WHERE p.position = ANY ($1)",
    )
    .bind(positions(acks))
    .fetch_all(&mut **tx)
    .await?;
    let stored: HashMap<i64, Vec<u8>> = rows.into_iter().collect();
    acks.iter().try_for_each(|ack| {
        let position = ack.position;
        let digest = stored.get(&sql(position)).ok_or(HubError::UnknownEntry { position })?;
        let digest = Place::new("entry", &position).digest(digest)?;
        Ok(check_ack(position, ack.body_digest, digest)?)
    })
}

/// Keeps them in the order of their keys: two commits with the same ones would else wait for each
/// other. Of those alike the first stays, or the latest where [`Statement::renews`].
async fn insert(tx: &mut Tx, acks: &[Ack]) -> Result<(), Fault> {
    sqlx::query(
        "INSERT INTO acknowledgement (position, site, statement, at, reason) \
         SELECT DISTINCT ON (position, site, statement) position, site, statement, at, reason \
         FROM unnest($1, $2, $3, $4, $5, $6) \
             WITH ORDINALITY AS said (position, site, statement, at, reason, renews, turn) \
         ORDER BY position, site, statement, CASE WHEN renews THEN at END DESC, turn \
         ON CONFLICT (position, site, statement) DO UPDATE \
             SET at = excluded.at, reason = excluded.reason \
             WHERE excluded.statement = ANY ($7) AND excluded.at > acknowledgement.at",
    )
    .bind(positions(acks))
    .bind(acks.iter().map(|ack| ack.site.as_str()).collect::<Vec<_>>())
    .bind(acks.iter().map(|ack| ack.statement.as_str()).collect::<Vec<_>>())
    .bind(acks.iter().map(|ack| ack.at.0).collect::<Vec<_>>())
    .bind(acks.iter().map(|ack| ack.reason.as_deref()).collect::<Vec<_>>())
    .bind(acks.iter().map(|ack| ack.statement.renews()).collect::<Vec<_>>())
    .bind(renewing())
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// The names of the statements of which the latest counts.
fn renewing() -> Vec<&'static str> {
    let all = Statement::ALL.into_iter().filter(|one| one.renews());
    all.map(Statement::as_str).collect()
}

fn positions(acks: &[Ack]) -> Vec<i64> {
    acks.iter().map(|ack| sql(ack.position)).collect()
}
