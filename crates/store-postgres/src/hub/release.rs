//! Releases.

use std::collections::HashMap;
use std::sync::Arc;

use chablon_model::{Digest, RevisionRef};
use chablon_store::backend::{KnownToRelease, new_revisions};
use chablon_store::{Committed, EntryKind, NewPart, ReleaseCommit};

use super::append::{NewEntry, Unplaced, answered, entry, finish};
use super::{drafts, revisions, sites};
use crate::database::{Database, Tx};
use crate::fault::Fault;
use crate::values::{ReferenceRow, array, references};

pub(super) async fn release(
    database: Database,
    commit: Arc<ReleaseCommit>,
) -> Result<Committed, Fault> {
    let mut tx = database.write().await?;
    if let Some(before) = answered(&mut tx, &commit.request).await? {
        return Ok(before);
    }
    // Whoever comes second to a draft hears that, and not which of its revisions are there by now.
    drafts::release(&mut tx, &commit).await?;
    let known = known(&mut tx, &commit).await?;
    revisions::insert(&mut tx, &new_revisions(&commit, known)?).await?;
    let mut entries = Unplaced::default();
    for part in &commit.parts {
        let entry_id = insert_part(&mut tx, &commit, part).await?;
        entries.push(entry_id, &part.manifest.audience);
    }
    sites::follow_release(&mut tx, &commit.parts).await?;
    finish(tx, &entries, &commit.record()).await
}

async fn known(tx: &mut Tx, commit: &ReleaseCommit) -> Result<KnownToRelease, Fault> {
    let latest = revisions::latest(&mut **tx, KnownToRelease::documents(commit)).await?;
    Ok(KnownToRelease {
        heads: latest.into_iter().map(|(key, head)| (key, head.reference.number)).collect(),
        held: held(tx, KnownToRelease::digests(commit)).await?,
        release_exists: exists(tx, commit).await?,
    })
}

/// Those of some revisions that are stored.
pub(super) async fn held(
    tx: &mut Tx,
    digests: impl IntoIterator<Item = Digest>,
) -> Result<HashMap<Digest, RevisionRef>, Fault> {
    let rows: Vec<ReferenceRow> =
        sqlx::query_as("SELECT kind, id, number, digest FROM revision WHERE digest = ANY ($1)")
            .bind(array(digests))
            .fetch_all(&mut **tx)
            .await?;
    let references = references(&rows)?;
    Ok(references.into_iter().map(|reference| (reference.digest, reference)).collect())
}

async fn exists(tx: &mut Tx, commit: &ReleaseCommit) -> Result<bool, Fault> {
    let releases = commit.parts.iter().map(|part| part.manifest.release.as_str());
    let found =
        sqlx::query_scalar("SELECT EXISTS (SELECT 1 FROM entry WHERE release_id = ANY ($1))")
            .bind(releases.collect::<Vec<_>>())
            .fetch_one(&mut **tx)
            .await?;
    Ok(found)
}

async fn insert_part(
    tx: &mut Tx,
    commit: &ReleaseCommit,
    NewPart { manifest, body }: &NewPart,
) -> Result<i64, Fault> {
    let new = NewEntry {
        recorded_at: commit.at,
        kind: EntryKind::Release,
        part: Some((&manifest.release, manifest.part)),
        documents: manifest.items.iter().map(|item| &item.key).collect(),
        items: manifest.items.iter().map(|item| item.digest).collect(),
        body,
    };
    entry(tx, &commit.request, &new).await
}
