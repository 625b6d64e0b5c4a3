//! What the kitchen says of entries.

use std::collections::HashMap;

use chablon_model::Moment;
use chablon_store::backend::Spoken;
use chablon_store::{Outgoing, ReplicaError, Said};

use super::Fault;
use crate::database::{Database, Tx};
use crate::fault::Damage;
use crate::many::{Batch, Insert};
use crate::values::{Place, sql};

#[derive(sqlx::FromRow)]
struct SpokenRow {
    id: i64,
    position: i64,
    body_digest: Vec<u8>,
    statement: String,
    at: i64,
    reason: Option<String>,
    sent: bool,
}

impl SpokenRow {
    fn id(&self) -> Result<u64, Damage> {
        let odd = |error| Place::new("statement", &self.id).damage(error);
        u64::try_from(self.id).map_err(odd)
    }

    fn value(&self) -> Result<Spoken, Damage> {
        let place = Place::new("statement", &self.id);
        let said = Said {
            position: place.position(self.position)?,
            statement: place.statement(&self.statement)?,
            at: Moment(self.at),
            reason: self.reason.clone(),
        };
        let body_digest = place.digest(&self.body_digest)?;
        Ok(Spoken { said, body_digest, sent: self.sent })
    }
}

pub(super) async fn say(database: &Database, said: Said) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    speak(&mut tx, &[said]).await?;
    Ok(tx.commit().await?)
}

/// Queues statements about entries that are held.
pub(super) async fn speak(tx: &mut Tx, said: &[Said]) -> Result<(), Fault> {
    let bodies = bodies(tx, said).await?;
    let spoken = said.iter().map(|said| {
        let position = said.position;
        let body = bodies.get(&sql(position)).ok_or(ReplicaError::UnknownEntry { position })?;
        let body_digest = Place::new("entry", &position).digest(body)?;
        Ok(Spoken { said: said.clone(), body_digest, sent: false })
    });
    let spoken: Vec<Spoken> = spoken.collect::<Result<_, Fault>>()?;
    insert(tx, &spoken).await
}

/// The digests of the bodies of which something is said, by position.
async fn bodies(tx: &mut Tx, said: &[Said]) -> Result<HashMap<i64, Vec<u8>>, Fault> {
    let positions: Vec<String> = said.iter().map(|one| sql(one.position).to_string()).collect();
    let rows: Vec<(i64, Vec<u8>)> = sqlx::query_as(
        "SELECT position, body_digest FROM entry \
         WHERE position IN (SELECT value FROM json_each(?1))",
    )
    .bind(format!("[{}]", positions.join(",")))
    .fetch_all(&mut **tx)
    .await?;
    Ok(rows.into_iter().collect())
}

/// How many statements are queued in one turn.
const AT_ONCE: usize = 200;

const STATEMENTS: Insert = Insert {
    into: "INSERT INTO statement (position, body_digest, statement, at, reason, sent) ",
    columns: 6,
    rest: " ON CONFLICT (position, statement) DO NOTHING",
};

/// Queues statements, each in the place of the one that it renews: under an id of its own, so that a
/// late "that one was sent" doesn't hit it.
pub(super) async fn insert(tx: &mut Tx, spoken: &[Spoken]) -> Result<(), Fault> {
    for some in spoken.chunks(AT_ONCE) {
        let mut batch = Batch::default();
        for one in some {
            push(&mut batch, one);
        }
        batch.execute(tx).await?;
    }
    Ok(())
}

fn push(batch: &mut Batch, spoken: &Spoken) {
    let Said { position, statement, at, reason } = &spoken.said;
    if statement.renews() {
        batch.then(|write| {
            write.push("DELETE FROM statement WHERE position = ").push_bind(sql(*position));
            write.push(" AND statement = ").push_bind(statement.as_str());
            write.push(" AND at < ").push_bind(at.0);
        });
    }
    batch.insert(STATEMENTS, [spoken], |row, spoken| {
        row.push_bind(sql(*position));
        row.push_bind(spoken.body_digest.0.to_vec());
        row.push_bind(statement.as_str());
        row.push_bind(at.0);
        row.push_bind(reason.clone());
        row.push_bind(spoken.sent);
    });
}

/// Takes all statements out, oldest first.
pub(super) async fn take(tx: &mut Tx) -> Result<Vec<Spoken>, Fault> {
    let rows: Vec<SpokenRow> = sqlx::query_as(
        "SELECT id, position, body_digest, statement, at, reason, sent FROM statement ORDER BY id",
    )
    .fetch_all(&mut **tx)
    .await?;
    sqlx::query("DELETE FROM statement").execute(&mut **tx).await?;
    Ok(rows.iter().map(SpokenRow::value).collect::<Result<_, _>>()?)
}

pub(super) async fn unsent(database: &Database, limit: usize) -> Result<Vec<Outgoing>, Fault> {
    let rows: Vec<SpokenRow> = sqlx::query_as(
        "SELECT id, position, body_digest, statement, at, reason, sent FROM statement \
         WHERE sent = 0 ORDER BY id LIMIT ?1",
    )
    .bind(i64::try_from(limit).unwrap_or(i64::MAX))
    .fetch_all(database.readers())
    .await?;
    let outgoing = |row: &SpokenRow| {
        let Spoken { said, body_digest, .. } = row.value()?;
        Ok(Outgoing { id: row.id()?, said, body_digest })
    };
    rows.iter().map(outgoing).collect()
}

pub(super) async fn sent(database: &Database, ids: &[u64]) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    let ids: Vec<String> = ids.iter().map(|id| sql(*id).to_string()).collect();
    sqlx::query("UPDATE statement SET sent = 1 WHERE id IN (SELECT value FROM json_each(?1))")
        .bind(format!("[{}]", ids.join(",")))
        .execute(&mut *tx)
        .await?;
    Ok(tx.commit().await?)
}

pub(super) async fn said(database: &Database) -> Result<Vec<Said>, Fault> {
    let rows: Vec<SpokenRow> = sqlx::query_as(
        "SELECT id, position, body_digest, statement, at, reason, sent FROM statement \
         ORDER BY position, \
             CASE statement WHEN 'received' THEN 0 WHEN 'in_use' THEN 1 ELSE 2 END",
    )
    .fetch_all(database.readers())
    .await?;
    rows.iter().map(|row| Ok(row.value()?.said)).collect()
}
