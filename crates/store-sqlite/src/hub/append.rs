//! What releases and withdrawals have in common: requests and entries.

use chablon_model::{Audience, DocumentKey, GroupId, Moment, ReleaseId, SiteId};
use chablon_store::backend::{repeated, signatures_to_bytes};
use chablon_store::{Committed, EntryKind, Epoch, Frozen, HubError, Request};

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
    /// Its entries come after this.
    After(Standing),
}

/// Where the feed stands before a change.
pub(super) struct Standing {
    epoch: Epoch,
    position: u64,
}

impl Standing {
    /// Where so many new entries come.
    pub(super) fn span(self, entries: usize) -> Committed {
        let Self { epoch, position } = self;
        let (first_position, last_position) = (position + 1, position + entries as u64);
        Committed { epoch, first_position, last_position, repeated: false }
    }
}

#[derive(sqlx::FromRow)]
pub(super) struct TurnRow {
    epoch: String,
    position: i64,
    is_step: bool,
    digest: Option<Vec<u8>>,
    first_position: Option<i64>,
    last_position: Option<i64>,
}

/// A query for [`TurnRow`] of the request `?1`, and for more in the same turn.
macro_rules! turn_query {
    ($more:expr) => {
        concat!(
            "SELECT f.epoch, f.position, q.digest, q.first_position, q.last_position, \
                 EXISTS (SELECT 1 FROM draft_request d WHERE d.request_id = ?1) AS is_step",
            $more,
            " FROM feed f LEFT JOIN request q ON q.request_id = ?1 WHERE f.only_row = 1"
        )
    };
}
pub(super) use turn_query;

/// What becomes of a request.
pub(super) async fn turn(tx: &mut Tx, request: &Request) -> Result<Turn, Fault> {
    let row: Option<TurnRow> =
        sqlx::query_as(turn_query!("")).bind(request.id.as_str()).fetch_optional(&mut **tx).await?;
    row.ok_or_else(state::gone)?.value(request)
}

impl TurnRow {
    /// The answer to a request that was carried out before, or where a new one stands. One that goes
    /// by the name of a draft's step is refused.
    pub(super) fn value(self, request: &Request) -> Result<Turn, Fault> {
        let (place, feed) = (Place::new("request", &request.id), state::place());
        let epoch = feed.id(&self.epoch)?;
        match (&self.digest, self.first_position, self.last_position) {
            (Some(digest), Some(first), Some(last)) => {
                let (first_position, last_position) =
                    (place.position(first)?, place.position(last)?);
                let before = Committed { epoch, first_position, last_position, repeated: true };
                Ok(Turn::Answered(repeated(request, place.digest(digest)?, before)?))
            }
            _ if self.is_step => Err(HubError::RequestIdReused(request.id.clone()).into()),
            _ => Ok(Turn::After(Standing { epoch, position: feed.position(self.position)? })),
        }
    }
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
