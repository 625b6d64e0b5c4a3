//! What releases and withdrawals have in common: requests and entries.

use chablon_model::{Audience, DocumentKey, GroupId, Moment, ReleaseId, SiteId};
use chablon_store::backend::{repeated, signatures_to_bytes};
use chablon_store::{Committed, EntryKind, Frozen, HubError, Request};

use super::{Fault, state};
use crate::database::Tx;
use crate::many::{Batch, Insert};
use crate::values::{Place, sql};

/// An entry to append.
pub(super) struct NewEntry<'e> {
    pub(super) position: u64,
    pub(super) recorded_at: Moment,
    pub(super) kind: EntryKind,
    /// The release and the part's number in it.
    pub(super) part: Option<(&'e ReleaseId, u32)>,
    pub(super) audience: &'e Audience,
    pub(super) documents: Vec<&'e DocumentKey>,
    pub(super) body: &'e Frozen,
}

/// Where the feed stands when a request is taken up.
pub(super) enum Turn {
    /// It was carried out before, and gets this answer.
    Answered(Committed),
    /// Its entries come after this position.
    After(u64),
}

#[derive(sqlx::FromRow)]
struct TurnRow {
    position: i64,
    is_step: bool,
    digest: Option<Vec<u8>>,
    first_position: Option<i64>,
    last_position: Option<i64>,
}

/// The answer to a request that was carried out before, or where a new one stands. One that goes by the
/// name of a draft's step is refused.
pub(super) async fn turn(tx: &mut Tx, request: &Request) -> Result<Turn, Fault> {
    let row: Option<TurnRow> = sqlx::query_as(
        "SELECT f.position, q.digest, q.first_position, q.last_position, \
             EXISTS (SELECT 1 FROM draft_request d WHERE d.request_id = ?1) AS is_step \
         FROM feed f LEFT JOIN request q ON q.request_id = ?1 WHERE f.only_row = 1",
    )
    .bind(request.id.as_str())
    .fetch_optional(&mut **tx)
    .await?;
    let row = row.ok_or_else(state::gone)?;
    let place = Place::new("request", &request.id);
    match (&row.digest, row.first_position, row.last_position) {
        (Some(digest), Some(first), Some(last)) => {
            let (first, last) = (place.position(first)?, place.position(last)?);
            Ok(Turn::Answered(repeated(request, place.digest(digest)?, first, last)?))
        }
        _ if row.is_step => Err(HubError::RequestIdReused(request.id.clone()).into()),
        _ => Ok(Turn::After(state::place().position(row.position)?)),
    }
}

/// The positions of so many entries after one.
pub(super) fn span(before: u64, entries: usize) -> Committed {
    let (first_position, last_position) = (before + 1, before + entries as u64);
    Committed { first_position, last_position, repeated: false }
}

const REQUESTS: Insert = Insert {
    into: "INSERT INTO request (request_id, digest, first_position, last_position) ",
    columns: 4,
    rest: "",
};

/// Carries a change out, notes its request and moves the counter.
pub(super) async fn finish(
    tx: &mut Tx,
    mut change: Batch,
    request: &Request,
    committed: Committed,
) -> Result<Committed, Fault> {
    let Committed { first_position, last_position, .. } = committed;
    change.insert(REQUESTS, [request], |row, request| {
        row.push_bind(request.id.as_str());
        row.push_bind(&request.digest.0[..]);
        row.push_bind(sql(first_position));
        row.push_bind(sql(last_position));
    });
    state::advance(tx, change, first_position - 1, last_position).await?;
    Ok(committed)
}

const ENTRIES: Insert = Insert {
    into: "INSERT INTO entry \
        (position, commit_last, recorded_at, kind, release_id, part, body_digest, body, signatures) ",
    columns: 9,
    rest: "",
};

/// Appends entries, with whom they address and which documents they concern.
pub(super) fn entries(change: &mut Batch, entries: &[NewEntry<'_>], commit_last: u64) {
    change.insert(ENTRIES, entries, |row, entry| {
        row.push_bind(sql(entry.position));
        row.push_bind(sql(commit_last));
        row.push_bind(entry.recorded_at.0);
        row.push_bind(entry.kind.as_str());
        row.push_bind(entry.part.map(|(release, _)| release.as_str()));
        row.push_bind(entry.part.map(|(_, part)| part));
        row.push_bind(&entry.body.digest.0[..]);
        row.push_bind(&entry.body.bytes[..]);
        row.push_bind(signatures_to_bytes(&entry.body.signatures));
    });
    facts(change, entries);
}

fn addressees(audience: &Audience) -> Vec<(&'static str, &str)> {
    match audience {
        Audience::All => vec![("all", "")],
        Audience::Of { groups, sites } => {
            let groups = groups.iter().map(|group| ("group", GroupId::as_str(group)));
            groups.chain(sites.iter().map(|site| ("site", SiteId::as_str(site)))).collect()
        }
    }
}

const ADDRESSEES: Insert =
    Insert { into: "INSERT INTO addressee (scope, name, position) ", columns: 3, rest: "" };

const DOCUMENTS: Insert =
    Insert { into: "INSERT INTO entry_document (kind, id, position) ", columns: 3, rest: "" };

fn facts(change: &mut Batch, entries: &[NewEntry<'_>]) {
    let addressed = entries.iter().flat_map(|entry| {
        addressees(entry.audience).into_iter().map(|one| (one, sql(entry.position)))
    });
    change.insert(ADDRESSEES, addressed, |row, ((scope, name), position)| {
        row.push_bind(scope);
        row.push_bind(name);
        row.push_bind(position);
    });
    let concerned = entries
        .iter()
        .flat_map(|entry| entry.documents.iter().map(|document| (document, sql(entry.position))));
    change.insert(DOCUMENTS, concerned, |row, (key, position)| {
        row.push_bind(key.kind.as_str());
        row.push_bind(key.id.as_str());
        row.push_bind(position);
    });
}
