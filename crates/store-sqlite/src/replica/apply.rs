//! Catching up.

use std::collections::BTreeMap;

use chablon_model::Digest;
use chablon_store::CatchUp;
use chablon_store::backend::Held;

use super::reach::Pins;
use super::{Fault, entries, identity, outbox, trust};
use crate::database::{Database, Tx};
use crate::values::{Place, sql};

pub(super) async fn apply(
    database: &Database,
    pins: &Pins,
    catch_up: &CatchUp,
) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    identity::enrolled(&mut tx).await?;
    let first = catch_up.entries.first().map_or(u64::MAX, |entry| entry.position);
    let held = Held {
        cursor: identity::cursor(&mut *tx).await?,
        last_position: last_position(&mut tx).await?,
        bodies: bodies(&mut tx, first).await?,
    };
    entries::insert(&mut tx, pins, &held.new_entries(catch_up)?).await?;
    outbox::speak(&mut tx, &catch_up.said).await?;
    trust::vouched(&mut tx, held.cursor.as_ref(), catch_up).await?;
    identity::set_cursor(&mut tx, &held.cursor_after(catch_up)).await?;
    Ok(tx.commit().await?)
}

async fn last_position(tx: &mut Tx) -> Result<u64, Fault> {
    let last = sqlx::query_scalar("SELECT coalesce(max(position), 0) FROM entry")
        .fetch_one(&mut **tx)
        .await?;
    Ok(Place::new("entry", &"last").position(last)?)
}

async fn bodies(tx: &mut Tx, from: u64) -> Result<BTreeMap<u64, Digest>, Fault> {
    let rows: Vec<(i64, Vec<u8>)> =
        sqlx::query_as("SELECT position, body_digest FROM entry WHERE position >= ?1")
            .bind(sql(from))
            .fetch_all(&mut **tx)
            .await?;
    let body = |(position, digest): &(i64, Vec<u8>)| {
        let place = Place::new("entry", position);
        Ok((place.position(*position)?, place.digest(digest)?))
    };
    rows.iter().map(body).collect()
}
