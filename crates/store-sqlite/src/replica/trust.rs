//! Whom the kitchen trusts, and the newest that was vouched for.

use chablon_model::Moment;
use chablon_store::backend::{newest, signatures_to_bytes};
use chablon_store::{CatchUp, Cursor, Frozen, NewCheckpoint, Trust};

use super::{Fault, identity};
use crate::database::{Database, Tx};
use crate::fault::Damage;
use crate::values::Place;

#[derive(sqlx::FromRow)]
struct TrustRow {
    version: i64,
    digest: Vec<u8>,
    root: Vec<u8>,
    signatures: Vec<u8>,
    checkpoint_digest: Option<Vec<u8>>,
    checkpoint: Option<Vec<u8>>,
    checkpoint_signatures: Option<Vec<u8>>,
}

impl TrustRow {
    fn value(self) -> Result<Trust, Damage> {
        let place = place();
        let checkpoint = match (self.checkpoint_digest, self.checkpoint, self.checkpoint_signatures)
        {
            (Some(digest), Some(bytes), Some(signatures)) => {
                Some(place.frozen(&digest, bytes, &signatures)?)
            }
            _ => None,
        };
        Ok(Trust {
            version: u32::try_from(self.version).map_err(|error| place.damage(error))?,
            root: place.frozen(&self.digest, self.root, &self.signatures)?,
            checkpoint,
        })
    }
}

pub(super) async fn trust(database: &Database) -> Result<Option<Trust>, Fault> {
    let row: Option<TrustRow> = sqlx::query_as(
        "SELECT version, digest, root, signatures, \
             checkpoint_digest, checkpoint, checkpoint_signatures \
         FROM trust WHERE only_row = 1",
    )
    .fetch_optional(database.readers())
    .await?;
    Ok(row.map(TrustRow::value).transpose()?)
}

pub(super) async fn trust_root(
    database: &Database,
    version: u32,
    root: &Frozen,
) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    identity::enrolled(&mut tx).await?;
    sqlx::query(
        "INSERT INTO trust (only_row, version, digest, root, signatures) VALUES (1, ?1, ?2, ?3, ?4) \
         ON CONFLICT (only_row) DO UPDATE SET version = excluded.version, \
             digest = excluded.digest, root = excluded.root, signatures = excluded.signatures \
         WHERE excluded.version > trust.version",
    )
    .bind(version)
    .bind(&root.digest.0[..])
    .bind(&root.bytes[..])
    .bind(signatures_to_bytes(&root.signatures))
    .execute(&mut *tx)
    .await?;
    Ok(tx.commit().await?)
}

/// Keeps the checkpoint of a stretch, if it is the newest. The cursor is the one before the stretch.
pub(super) async fn vouched(
    tx: &mut Tx,
    held: Option<&Cursor>,
    catch_up: &CatchUp,
) -> Result<(), Fault> {
    let Some(given) = &catch_up.checkpoint else { return Ok(()) };
    let kept_at: Option<Option<i64>> =
        sqlx::query_scalar("SELECT checkpoint_at FROM trust WHERE only_row = 1")
            .fetch_optional(&mut **tx)
            .await?;
    if newest(held, kept_at.flatten().map(Moment), &catch_up.cursor, given) {
        keep(tx, given).await?;
    }
    Ok(())
}

pub(super) async fn keep(tx: &mut Tx, given: &NewCheckpoint) -> Result<(), Fault> {
    sqlx::query(
        "UPDATE trust SET checkpoint_at = ?1, checkpoint_digest = ?2, checkpoint = ?3, \
             checkpoint_signatures = ?4 WHERE only_row = 1",
    )
    .bind(given.issued_at.0)
    .bind(&given.frozen.digest.0[..])
    .bind(&given.frozen.bytes[..])
    .bind(signatures_to_bytes(&given.frozen.signatures))
    .execute(&mut **tx)
    .await?;
    Ok(())
}

fn place() -> Place<'static> {
    Place::new("trust", &1)
}
