//! Looking through everything.

use chablon_store::backend::{changed_revision, check_stored, lost_revision};
use chablon_store::{Frozen, HeldRevision, Integrity};
use sqlx::Row;

use super::reach::Pins;
use super::revisions::HeldRow;
use super::{Fault, entries, identity};
use crate::database::{Database, Tx};
use crate::fault::Damage;
use crate::values::{Place, digests_of};

/// How many revisions are read at once: each may have a mebibyte.
const AT_ONCE: u32 = 16;

pub(super) async fn check(database: &Database) -> Result<Integrity, Fault> {
    let mut tx = database.read().await?;
    check_file(&mut tx).await?;
    let revisions = check_revisions(&mut tx).await?;
    let cursor = identity::cursor(&mut *tx).await?;
    let entries = entries::entries(&mut *tx).await?;
    check_stored(&entries, cursor.as_ref())?;
    check_needs(&mut tx).await?;
    Ok(Integrity { revisions, entries: entries.len() as u64 })
}

/// SQLite's own check, of pages, types and constraints.
async fn check_file(tx: &mut Tx) -> Result<(), Fault> {
    let words: String =
        sqlx::query("PRAGMA quick_check(1)").fetch_one(&mut **tx).await?.try_get(0)?;
    if words == "ok" { Ok(()) } else { Err(Damage(words).into()) }
}

async fn check_revisions(tx: &mut Tx) -> Result<u64, Fault> {
    let mut after = Vec::new();
    let mut count = 0;
    loop {
        let rows: Vec<HeldRow> = sqlx::query_as(
            "SELECT kind, id, number, digest, bytes FROM revision \
             WHERE digest > ?1 ORDER BY digest LIMIT ?2",
        )
        .bind(&after[..])
        .bind(AT_ONCE)
        .fetch_all(&mut **tx)
        .await?;
        if rows.is_empty() {
            return Ok(count);
        }
        for row in rows {
            let HeldRevision { reference, bytes } = row.value()?;
            after = reference.digest.0.to_vec();
            if !Frozen::stated(reference.digest, bytes).holds() {
                return Err(Damage(changed_revision(&reference)).into());
            }
            count += 1;
        }
    }
}

/// Whether all that the entries need, directly or not, is held.
async fn check_needs(tx: &mut Tx) -> Result<(), Fault> {
    let needed: Vec<Vec<u8>> =
        sqlx::query_scalar("SELECT needs FROM entry").fetch_all(&mut **tx).await?;
    let digests = |bytes: &Vec<u8>| digests_of(Place::new("entry", &"needs"), bytes);
    let needed = needed.iter().map(digests).collect::<Result<Vec<_>, _>>()?;
    // What is at hand was true when it was stored; here the file itself is asked.
    let reached = Pins::default().reached(tx, needed.into_iter().flatten()).await?;
    match reached.missing.first() {
        None => Ok(()),
        Some(digest) => Err(Damage(lost_revision(digest)).into()),
    }
}
