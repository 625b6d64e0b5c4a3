//! Roots of trust and signatures that come later.

use std::collections::BTreeSet;

use chablon_store::backend::{check_ack, newer_root, signatures_to_bytes};
use chablon_store::{EntrySignatures, HubError, RootCommit, RootRecord, SigningCommit};
use sqlx::{Sqlite, SqliteExecutor};

use super::{Fault, acks, audit};
use crate::database::Tx;
use crate::fault::Damage;
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

/// The columns of the latest root, where there may be none.
#[derive(sqlx::FromRow)]
pub(super) struct LatestRoot {
    version: Option<i64>,
    digest: Option<Vec<u8>>,
    body: Option<Vec<u8>>,
    signatures: Option<Vec<u8>>,
}

impl LatestRoot {
    pub(super) fn value(self) -> Result<Option<RootRecord>, Damage> {
        let bytes = self.digest.zip(self.body).zip(self.signatures);
        let Some((version, ((digest, body), signatures))) = self.version.zip(bytes) else {
            return Ok(None);
        };
        RootRow { version, digest, body, signatures }.value().map(Some)
    }
}

pub(super) async fn add_root(tx: &mut Tx, commit: &RootCommit) -> Result<(), Fault> {
    let stored = roots(&mut **tx, 0).await?;
    if newer_root(&stored, &commit.root)? {
        insert(tx, &commit.root).await?;
        audit::note(tx, &commit.record()).await?;
    }
    Ok(())
}

async fn insert(tx: &mut Tx, root: &RootRecord) -> Result<(), Fault> {
    sqlx::query(
        "INSERT INTO trust_root (version, digest, body, signatures) VALUES (?1, ?2, ?3, ?4)",
    )
    .bind(root.version)
    .bind(&root.frozen.digest.0[..])
    .bind(&root.frozen.bytes[..])
    .bind(signatures_to_bytes(&root.frozen.signatures))
    .execute(&mut **tx)
    .await?;
    Ok(())
}

pub(super) async fn roots<'c>(
    executor: impl SqliteExecutor<'c, Database = Sqlite>,
    after: u32,
) -> Result<Vec<RootRecord>, Fault> {
    let rows: Vec<RootRow> = sqlx::query_as(
        "SELECT version, digest, body, signatures FROM trust_root \
         WHERE version > ?1 ORDER BY version",
    )
    .bind(after)
    .fetch_all(executor)
    .await?;
    Ok(rows.into_iter().map(RootRow::value).collect::<Result<_, _>>()?)
}

pub(super) async fn sign(tx: &mut Tx, commit: &SigningCommit) -> Result<(), Fault> {
    let mut changed = BTreeSet::new();
    for one in &commit.signed {
        if sign_one(tx, one).await? {
            changed.insert(one.position);
        }
    }
    if let Some(record) = commit.record(&changed) {
        audit::note(tx, &record).await?;
    }
    Ok(())
}

/// Whether the entry had other signatures.
async fn sign_one(tx: &mut Tx, one: &EntrySignatures) -> Result<bool, Fault> {
    let position = one.position;
    let stored = acks::body_digest(tx, position).await?;
    check_ack(position, one.body_digest, stored.ok_or(HubError::UnknownEntry { position })?)?;
    let done =
        sqlx::query("UPDATE entry SET signatures = ?2 WHERE position = ?1 AND signatures <> ?2")
            .bind(sql(position))
            .bind(signatures_to_bytes(&one.signatures))
            .execute(&mut **tx)
            .await?;
    Ok(done.rows_affected() > 0)
}
