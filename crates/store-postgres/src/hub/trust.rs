//! Roots of trust and signatures that come later.

use std::sync::Arc;

use chablon_store::backend::{check_ack, newer_root, signatures_to_bytes};
use chablon_store::{EntrySignatures, HubError, RootRecord};
use sqlx::PgExecutor;

use crate::database::{Database, Tx};
use crate::fault::{Damage, Fault};
use crate::values::{Place, sql};

#[derive(sqlx::FromRow)]
struct RootRow {
    version: i64,
    digest: Vec<u8>,
    body: Vec<u8>,
    signatures: Vec<u8>,
}

impl RootRow {
    fn value(self) -> Result<RootRecord, Damage> {
        let key = self.version;
        let place = Place::new("trust_root", &key);
        Ok(RootRecord {
            version: u32::try_from(self.version).map_err(|error| place.damage(error))?,
            frozen: place.frozen(&self.digest, self.body, &self.signatures)?,
        })
    }
}

/// Of several hubs that add one version at once, one does and the others find it there.
pub(super) async fn add_root(database: Database, root: Arc<RootRecord>) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    sqlx::query("LOCK TABLE trust_root IN SHARE ROW EXCLUSIVE MODE").execute(&mut *tx).await?;
    let stored = roots(&mut *tx, 0).await?;
    if newer_root(&stored, &root)? {
        insert(&mut tx, &root).await?;
    }
    Ok(tx.commit().await?)
}

async fn insert(tx: &mut Tx, root: &RootRecord) -> Result<(), Fault> {
    sqlx::query(
        "INSERT INTO trust_root (version, digest, body, signatures) VALUES ($1, $2, $3, $4)",
    )
    .bind(i64::from(root.version))
    .bind(&root.frozen.digest.0[..])
    .bind(&root.frozen.bytes[..])
    .bind(signatures_to_bytes(&root.frozen.signatures))
    .execute(&mut **tx)
    .await?;
    Ok(())
}

pub(super) async fn roots(
    executor: impl PgExecutor<'_>,
    after: u32,
) -> Result<Vec<RootRecord>, Fault> {
    let rows: Vec<RootRow> = sqlx::query_as(
        "SELECT version, digest, body, signatures FROM trust_root \
         WHERE version > $1 ORDER BY version",
    )
    .bind(i64::from(after))
    .fetch_all(executor)
    .await?;
    Ok(rows.into_iter().map(RootRow::value).collect::<Result<_, _>>()?)
}

/// In the order of positions: two commits with the same ones would else wait for each other.
pub(super) async fn sign(
    database: Database,
    signed: Arc<Vec<EntrySignatures>>,
) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    let mut in_order: Vec<&EntrySignatures> = signed.iter().collect();
    in_order.sort_by_key(|one| one.position);
    for one in in_order {
        sign_one(&mut tx, one).await?;
    }
    Ok(tx.commit().await?)
}

async fn sign_one(tx: &mut Tx, one: &EntrySignatures) -> Result<(), Fault> {
    let position = one.position;
    let stored: Option<Vec<u8>> = sqlx::query_scalar(
        "UPDATE entry e SET signatures = $2 FROM place p \
         WHERE p.entry_id = e.entry_id AND p.position = $1 RETURNING e.body_digest",
    )
    .bind(sql(position))
    .bind(signatures_to_bytes(&one.signatures))
    .fetch_optional(&mut **tx)
    .await?;
    let stored = stored.ok_or(HubError::UnknownEntry { position })?;
    let stored = Place::new("entry", &position).digest(&stored)?;
    Ok(check_ack(position, one.body_digest, stored)?)
}
