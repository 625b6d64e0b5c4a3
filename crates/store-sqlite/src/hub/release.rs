//! Releases.

use std::collections::HashMap;

use chablon_model::{Digest, DocumentKey, RevisionRef};
use chablon_store::backend::{KnownToRelease, new_revisions};
use chablon_store::{Committed, EntryKind, NewPart, ReleaseCommit};

use super::append::{NewEntry, Turn, TurnRow, entries, finish, turn_query};
use super::{Fault, audit, drafts, revisions, sites, state};
use crate::database::Tx;
use crate::fault::Damage;
use crate::many::{Batch, Insert};
use crate::values::{Place, ReferenceRow, json, keys, latest, sql};

pub(super) async fn release(tx: &mut Tx, commit: &ReleaseCommit) -> Result<Committed, Fault> {
    let KnownRow { turn, known } = known(tx, commit).await?;
    let before = match turn.value(&commit.request)? {
        Turn::Answered(answer) => return Ok(answer),
        Turn::After(standing) => standing,
    };
    // Whoever comes second to a draft hears that, and not which of its revisions are there by now.
    drafts::release(tx, commit).await?;
    let mut change = Batch::default();
    revisions::insert(&mut change, &new_revisions(commit, known.value()?)?);
    let committed = before.span(commit.parts.len());
    insert_parts(&mut change, commit, &committed);
    sites::follow_release(&mut change, &commit.parts);
    audit::noted(&mut change, &commit.record());
    finish(tx, change, &commit.request, committed).await
}

/// All that must be known of what is stored, in one row: each turn takes longer than what it reads.
#[derive(sqlx::FromRow)]
struct KnownRow {
    #[sqlx(flatten)]
    turn: TurnRow,
    #[sqlx(flatten)]
    known: Known,
}

/// What [`KnownToRelease`] has.
#[derive(sqlx::FromRow)]
struct Known {
    release_exists: bool,
    /// A line for each revision: `recipe/custard 3`, a space, and the digest in hexadecimal digits.
    held: Option<String>,
    /// A line for each document: `recipe/custard 3`.
    heads: Option<String>,
}

const KNOWN: &str = turn_query!(concat!(
    ", EXISTS (SELECT 1 FROM entry WHERE release_id = ?2) AS release_exists, \
     (SELECT group_concat(r.kind || '/' || r.id || ' ' || r.number || ' ' || lower(hex(r.digest)), char(10)) \
     FROM json_each(?3) asked JOIN revision r ON r.digest = unhex(asked.value)) AS held, \
     (SELECT group_concat(asked.value || ' ' || r.number, char(10)) ",
    latest!("?4"),
    ") AS heads"
));

async fn known(tx: &mut Tx, commit: &ReleaseCommit) -> Result<KnownRow, Fault> {
    let release = commit.parts.first().map(|part| part.manifest.release.as_str());
    let row: Option<KnownRow> = sqlx::query_as(KNOWN)
        .bind(commit.request.id.as_str())
        .bind(release)
        .bind(json(KnownToRelease::digests(commit)))
        .bind(keys(KnownToRelease::documents(commit)))
        .fetch_optional(&mut **tx)
        .await?;
    Ok(row.ok_or_else(state::gone)?)
}

impl Known {
    fn value(&self) -> Result<KnownToRelease, Damage> {
        let held = self.held.iter().flat_map(|list| list.lines()).map(reference);
        let held = held.map(|one| one.map(|one| (one.digest, one)));
        let heads = self.heads.iter().flat_map(|list| list.lines()).map(numbered);
        Ok(KnownToRelease {
            heads: heads.collect::<Result<_, _>>()?,
            held: held.collect::<Result<_, _>>()?,
            release_exists: self.release_exists,
        })
    }
}

pub(super) fn reference(line: &str) -> Result<RevisionRef, Damage> {
    let place = Place::new("revision", &line);
    let (document, digest) = line.rsplit_once(' ').ok_or_else(|| place.damage("it is cut"))?;
    let (key, number) = numbered(document)?;
    Ok(RevisionRef { key, number, digest: place.id(digest)? })
}

fn numbered(line: &str) -> Result<(DocumentKey, u32), Damage> {
    let place = Place::new("revision", &line);
    let (key, number) = line.split_once(' ').ok_or_else(|| place.damage("it is cut"))?;
    Ok((place.id(key)?, place.id(number)?))
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

const ITEMS: Insert =
    Insert { into: "INSERT INTO entry_item (revision, position) ", columns: 2, rest: "" };

fn insert_parts(change: &mut Batch, commit: &ReleaseCommit, committed: &Committed) {
    let placed = (committed.first_position..).zip(&commit.parts);
    let new = placed.clone().map(|(position, NewPart { manifest, body })| NewEntry {
        position,
        recorded_at: commit.at,
        kind: EntryKind::Release,
        part: Some((&manifest.release, manifest.part)),
        audience: &manifest.audience,
        documents: manifest.items.iter().map(|item| &item.key).collect(),
        body,
    });
    entries(change, &new.collect::<Vec<_>>(), committed.last_position);
    let items = placed.flat_map(|(position, part)| {
        part.manifest.items.iter().map(move |item| (&item.digest, position))
    });
    change.insert(ITEMS, items, |row, (revision, position)| {
        row.push_bind(&revision.0[..]);
        row.push_bind(sql(position));
    });
}
