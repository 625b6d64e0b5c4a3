//! Listing a view anew.

use chablon_store::backend::carried_over;
use chablon_store::{CatchUp, NewEntry};

use super::reach::Pins;
use super::{Fault, entries, identity, outbox, trust};
use crate::database::Database;

pub(super) async fn replace(
    database: &Database,
    pins: &Pins,
    whole: &CatchUp,
) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    identity::enrolled(&mut tx).await?;
    let old = identity::cursor(&mut *tx).await?;
    let same_epoch = old.is_some_and(|cursor| cursor.epoch == whole.cursor.epoch);
    let spoken = outbox::take(&mut tx).await?;
    entries::forget(&mut tx).await?;
    entries::insert(&mut tx, pins, &whole.entries.iter().collect::<Vec<&NewEntry>>()).await?;
    outbox::insert(&mut tx, &carried_over(&spoken, whole, same_epoch)).await?;
    outbox::speak(&mut tx, &whole.said).await?;
    if let Some(given) = &whole.checkpoint {
        trust::keep(&mut tx, given).await?;
    }
    identity::set_cursor(&mut tx, &whole.cursor).await?;
    Ok(tx.commit().await?)
}
