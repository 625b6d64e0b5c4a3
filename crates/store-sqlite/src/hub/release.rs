//! Releases.

use std::collections::{BTreeMap, HashMap};

use chablon_model::{Digest, DocumentKey, ReleaseId, RevisionRef};
use chablon_store::backend::{KnownToRelease, new_revisions};
use chablon_store::{Committed, EntryKind, NewPart, ReleaseCommit};

use super::append::{NewEntry, answered, entry, finish, span};
use super::{Fault, audit, drafts, revisions, sites};
use crate::database::{Database, Tx};
use crate::values::{Place, ReferenceRow, json, sql};

pub(super) async fn release(
    database: &Database,
    commit: ReleaseCommit,
) -> Result<Committed, Fault> {
    let mut tx = database.write().await?;
    if let Some(before) = answered(&mut tx, &commit.request).await? {
        return Ok(before);
    }
    // Whoever comes second to a draft hears that, and not which of its revisions are there by now.
    drafts::release(&mut tx, &commit).await?;
    let known = known(&mut tx, &commit).await?;
    revisions::insert(&mut tx, &new_revisions(&commit, known)?).await?;
    let committed = span(&mut tx, commit.parts.len()).await?;
    for (position, part) in (committed.first_position..).zip(&commit.parts) {
        insert_part(&mut tx, &commit, part, position, committed.last_position).await?;
    }
    sites::follow_release(&mut tx, committed).await?;
    audit::note(&mut tx, &commit.record()).await?;
    finish(tx, &commit.request, committed).await
}

async fn known(tx: &mut Tx, commit: &ReleaseCommit) -> Result<KnownToRelease, Fault> {
    let mut heads = BTreeMap::new();
    for key in KnownToRelease::documents(commit) {
        if let Some(number) = latest(tx, key).await? {
            heads.insert(key.clone(), number);
        }
    }
    let held = held(tx, KnownToRelease::digests(commit)).await?;
    let mut release_exists = false;
    for part in &commit.parts {
        release_exists |= exists(tx, &part.manifest.release).await?;
    }
    Ok(KnownToRelease { heads, held, release_exists })
}

async fn latest(tx: &mut Tx, key: &DocumentKey) -> Result<Option<u32>, Fault> {
    let number: Option<i64> =
        sqlx::query_scalar("SELECT max(number) FROM revision WHERE kind = ?1 AND id = ?2")
            .bind(key.kind.as_str())
            .bind(key.id.as_str())
            .fetch_one(&mut **tx)
            .await?;
    let odd = |error| Place::new("revision", key).damage(error);
    Ok(number.map(u32::try_from).transpose().map_err(odd)?)
}

/// Those of some revisions that are stored.
pub(super) async fn held(
    tx: &mut Tx,
    digests: impl IntoIterator<Item = Digest>,
) -> Result<HashMap<Digest, RevisionRef>, Fault> {
    let rows: Vec<ReferenceRow> = sqlx::query_as(
        "SELECT r.kind, r.id, r.number, r.digest \
         FROM json_each(?1) asked JOIN revision r ON r.digest = unhex(asked.value)",
    )
    .bind(json(digests))
    .fetch_all(&mut **tx)
    .await?;
    let references = crate::values::references(&rows)?;
    Ok(references.into_iter().map(|reference| (reference.digest, reference)).collect())
}

async fn exists(tx: &mut Tx, release: &ReleaseId) -> Result<bool, Fault> {
    let found = sqlx::query_scalar("SELECT EXISTS (SELECT 1 FROM entry WHERE release_id = ?1)")
        .bind(release.as_str())
        .fetch_one(&mut **tx)
        .await?;
    Ok(found)
}

async fn insert_part(
    tx: &mut Tx,
    commit: &ReleaseCommit,
    NewPart { manifest, body }: &NewPart,
    position: u64,
    commit_last: u64,
) -> Result<(), Fault> {
    let new = NewEntry {
        position,
        recorded_at: commit.at,
        kind: EntryKind::Release,
        part: Some((&manifest.release, manifest.part)),
        audience: &manifest.audience,
        documents: manifest.items.iter().map(|item| &item.key).collect(),
        body,
    };
    entry(tx, &new, commit_last).await?;
    for item in &manifest.items {
        sqlx::query("INSERT INTO entry_item (revision, position) VALUES (?1, ?2)")
            .bind(&item.digest.0[..])
            .bind(sql(position))
            .execute(&mut **tx)
            .await?;
    }
    Ok(())
}
