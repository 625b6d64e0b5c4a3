//! Roots of trust and signatures that come later.

use std::collections::BTreeSet;
use std::sync::Arc;

use chablon_store::backend::{check_ack, newer_root, signatures_to_bytes};
use chablon_store::{EntrySignatures, HubError, RootCommit, RootRecord, SigningCommit};
use sqlx::PgExecutor;

use super::audit;
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
pub(super) async fn add_root(database: Database, commit: Arc<RootCommit>) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    sqlx::query("LOCK TABLE trust_root IN SHARE ROW EXCLUSIVE MODE").execute(&mut *tx).await?;
    let stored = roots(&mut *tx, 0).await?;
    if newer_root(&stored, &commit.root)? {
        insert(&mut tx, &commit.root).await?;
        return audit::finish(tx, &commit.record()).await;
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

/// The latest version, if there is one.
pub(super) async fn latest(executor: impl PgExecutor<'_>) -> Result<Option<RootRecord>, Fault> {
    let row: Option<RootRow> = sqlx::query_as(
        "SELECT version, digest, body, signatures FROM trust_root ORDER BY version DESC LIMIT 1",
    )
    .fetch_optional(executor)
    .await?;
    Ok(row.map(RootRow::value).transpose()?)
}

/// In the order of positions: two commits with the same ones would else wait for each other.
pub(super) async fn sign(database: Database, commit: Arc<SigningCommit>) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    let mut in_order: Vec<&EntrySignatures> = commit.signed.iter().collect();
    in_order.sort_by_key(|one| one.position);
    let mut changed = BTreeSet::new();
    for one in in_order {
        if sign_one(&mut tx, one).await? {
            changed.insert(one.position);
        }
    }
    match commit.record(&changed) {
        Some(record) => audit::finish(tx, &record).await,
        None => Ok(tx.commit().await?),
    }
}

/// Whether the entry had other signatures.
async fn sign_one(tx: &mut Tx, one: &EntrySignatures) -> Result<bool, Fault> {
    let position = one.position;
    let entry: Option<(i64, Vec<u8>, Vec<u8>)> = sqlx::query_as(
        "SELECT e.entry_id, e.body_digest, e.signatures FROM entry e JOIN place p USING (entry_id) \
         WHERE p.position = $1 FOR UPDATE OF e",
    )
    .bind(sql(position))
    .fetch_optional(&mut **tx)
    .await?;
    let (entry, stored, signatures) = entry.ok_or(HubError::UnknownEntry { position })?;
    let stored = Place::new("entry", &position).digest(&stored)?;
    check_ack(position, one.body_digest, stored)?;
    let given = signatures_to_bytes(&one.signatures);
    let differ = given != signatures;
    if differ {
        sqlx::query("UPDATE entry SET signatures = $2 WHERE entry_id = $1")
            .bind(entry)
            .bind(given)
            .execute(&mut **tx)
            .await?;
    }
    Ok(differ)
}
