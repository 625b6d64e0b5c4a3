//! What releases and withdrawals have in common: requests, entries and positions.

use chablon_model::{Audience, Digest, DocumentKey, Moment, ReleaseId, Role};
use chablon_store::backend::{repeated, signatures_to_bytes};
use chablon_store::{AuditRecord, Committed, EntryKind, Frozen, HubError, Request};

use super::{audience, state};
use crate::database::Tx;
use crate::fault::Fault;
use crate::values::{Place, array};

/// An entry to append.
pub(super) struct NewEntry<'e> {
    pub(super) recorded_at: Moment,
    pub(super) kind: EntryKind,
    /// The release and the part's number in it.
    pub(super) part: Option<(&'e ReleaseId, u32)>,
    pub(super) documents: Vec<&'e DocumentKey>,
    /// The revisions that it puts in force.
    pub(super) items: Vec<Digest>,
    pub(super) body: &'e Frozen,
}

/// The entries of a commit that have no positions yet, in order.
#[derive(Default)]
pub(super) struct Unplaced {
    entry_ids: Vec<i64>,
    /// Whom they address: names, and beside each the number of the entry, from 1.
    names: Vec<String>,
    turns: Vec<i64>,
}

impl Unplaced {
    pub(super) fn push(&mut self, entry_id: i64, addressed: &Audience) {
        self.entry_ids.push(entry_id);
        self.names.extend(audience::of_audience(addressed));
        let turn = i64::try_from(self.entry_ids.len()).unwrap_or(i64::MAX);
        self.turns.resize(self.names.len(), turn);
    }
}

/// The answer to a request that was carried out before. One that wasn't is noted as carried out now;
/// one that is under way elsewhere is waited for.
pub(super) async fn answered(tx: &mut Tx, request: &Request) -> Result<Option<Committed>, Fault> {
    let noted = sqlx::query(
        "INSERT INTO request (request_id, digest) VALUES ($1, $2) ON CONFLICT DO NOTHING",
    )
    .bind(request.id.as_str())
    .bind(&request.digest.0[..])
    .execute(&mut **tx)
    .await?;
    match noted.rows_affected() {
        0 => Ok(Some(answer(tx, request).await?)),
        _ => Ok(None),
    }
}

async fn answer(tx: &mut Tx, request: &Request) -> Result<Committed, Fault> {
    let (epoch, digest, first, last): (String, Vec<u8>, Option<i64>, Option<i64>) = sqlx::query_as(
        "SELECT (SELECT epoch FROM feed), r.digest, min(p.position), max(p.position) \
         FROM request r LEFT JOIN entry e USING (request_id) LEFT JOIN place p USING (entry_id) \
         WHERE r.request_id = $1 GROUP BY r.request_id",
    )
    .bind(request.id.as_str())
    .fetch_one(&mut **tx)
    .await?;
    let place = Place::new("request", &request.id);
    let digest = place.digest(&digest)?;
    if digest != request.digest {
        return Err(HubError::RequestIdReused(request.id.clone()).into());
    }
    let position = |position: Option<i64>| {
        place.position(position.ok_or_else(|| place.damage("it has no entries"))?)
    };
    let before = Committed {
        epoch: state::place().id(&epoch)?,
        first_position: position(first)?,
        last_position: position(last)?,
        repeated: true,
    };
    Ok(repeated(request, digest, before)?)
}

/// Appends an entry and what it concerns, without a position; gives its number.
pub(super) async fn entry(
    tx: &mut Tx,
    request: &Request,
    entry: &NewEntry<'_>,
) -> Result<i64, Fault> {
    let kinds: Vec<&str> = entry.documents.iter().map(|key| key.kind.as_str()).collect();
    let ids: Vec<&str> = entry.documents.iter().map(|key| key.id.as_str()).collect();
    let entry_id = sqlx::query_scalar(
        "WITH new AS ( \
             INSERT INTO entry \
             (request_id, recorded_at, kind, release_id, part, body_digest, body, signatures) \
             VALUES ($1, $2, $3, $4, $5, $6, $7, $11) RETURNING entry_id \
         ), concerned AS ( \
             INSERT INTO entry_document (kind, id, entry_id) \
             SELECT d.kind, d.id, new.entry_id FROM new, unnest($8, $9) AS d (kind, id) \
         ), released AS ( \
             INSERT INTO entry_item (revision, entry_id) \
             SELECT i.revision, new.entry_id FROM new, unnest($10) AS i (revision) \
         ) SELECT entry_id FROM new",
    )
    .bind(request.id.as_str())
    .bind(entry.recorded_at.0)
    .bind(entry.kind.as_str())
    .bind(entry.part.map(|(release, _)| release.as_str()))
    .bind(entry.part.map(|(_, part)| i64::from(part)))
    .bind(&entry.body.digest.0[..])
    .bind(&entry.body.bytes[..])
    .bind(kinds)
    .bind(ids)
    .bind(array(entry.items.iter().copied()))
    .bind(signatures_to_bytes(&entry.body.signatures))
    .fetch_one(&mut **tx)
    .await?;
    Ok(entry_id)
}

/// Moves the counters, puts the entries there, notes the change, and ends it.
///
/// Nothing comes after this statement but the commit: from here on all other writers wait.
pub(super) async fn finish(
    mut tx: Tx,
    entries: &Unplaced,
    record: &AuditRecord,
) -> Result<Committed, Fault> {
    let (epoch, before, last): (String, i64, i64) = sqlx::query_as(
        "WITH moved AS ( \
             UPDATE feed SET position = position + cardinality($1), audited = audited + 1 \
             RETURNING epoch, position - cardinality($1) AS before, position AS last, audited \
         ), placed AS ( \
             INSERT INTO place (position, commit_last, entry_id) \
             SELECT before + e.turn, last, e.entry_id \
             FROM moved, unnest($1) WITH ORDINALITY AS e (entry_id, turn) \
         ), addressed AS ( \
             INSERT INTO addressee (name, position) \
             SELECT a.name, before + a.turn FROM moved, unnest($2, $3) AS a (name, turn) \
         ), noted AS ( \
             INSERT INTO audit (number, at, by_name, role, act, subject, detail) \
             SELECT audited, $4, $5, $6, $7, $8, $9 FROM moved \
         ) SELECT epoch, before, last FROM moved",
    )
    .bind(&entries.entry_ids)
    .bind(&entries.names)
    .bind(&entries.turns)
    .bind(record.at.0)
    .bind(&record.by.name)
    .bind(record.by.role.map(Role::as_str))
    .bind(record.act.as_str())
    .bind(&record.subject)
    .bind(&record.detail)
    .fetch_one(&mut *tx)
    .await?;
    tx.commit().await?;
    let place = state::place();
    let (epoch, first_position) = (place.id(&epoch)?, place.position(before)? + 1);
    Ok(Committed { epoch, first_position, last_position: place.position(last)?, repeated: false })
}
