//! What releases and withdrawals have in common: requests and entries.

use chablon_model::{Audience, DocumentKey, GroupId, Moment, ReleaseId, SiteId};
use chablon_store::backend::{repeated, signatures_to_bytes};
use chablon_store::{Committed, EntryKind, Frozen, Request};

use super::{Fault, drafts, state};
use crate::database::Tx;
use crate::many::{self, Insert};
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

/// The positions of a commit of some entries.
pub(super) async fn span(tx: &mut Tx, entries: usize) -> Result<Committed, Fault> {
    let position = state::read(tx).await?.position;
    let (first_position, last_position) = (position + 1, position + entries as u64);
    Ok(Committed { first_position, last_position, repeated: false })
}

/// The answer to a request that was carried out before.
pub(super) async fn answered(tx: &mut Tx, request: &Request) -> Result<Option<Committed>, Fault> {
    let row: Option<(Vec<u8>, i64, i64)> = sqlx::query_as(
        "SELECT digest, first_position, last_position FROM request WHERE request_id = ?1",
    )
    .bind(request.id.as_str())
    .fetch_optional(&mut **tx)
    .await?;
    let Some((digest, first, last)) = row else {
        return drafts::not_a_step(tx, request).await.map(|()| None);
    };
    let place = Place::new("request", &request.id);
    let (first, last) = (place.position(first)?, place.position(last)?);
    Ok(Some(repeated(request, place.digest(&digest)?, first, last)?))
}

/// Notes the request, moves the counter and ends the change.
pub(super) async fn finish(
    mut tx: Tx,
    request: &Request,
    committed: Committed,
) -> Result<Committed, Fault> {
    let Committed { first_position, last_position, .. } = committed;
    sqlx::query(
        "INSERT INTO request (request_id, digest, first_position, last_position) \
         VALUES (?1, ?2, ?3, ?4)",
    )
    .bind(request.id.as_str())
    .bind(&request.digest.0[..])
    .bind(sql(first_position))
    .bind(sql(last_position))
    .execute(&mut *tx)
    .await?;
    state::advance(&mut tx, first_position - 1, last_position).await?;
    tx.commit().await?;
    Ok(committed)
}

/// Appends an entry, with whom it addresses and which documents it concerns.
pub(super) async fn entry(
    tx: &mut Tx,
    entry: &NewEntry<'_>,
    commit_last: u64,
) -> Result<(), Fault> {
    sqlx::query(
        "INSERT INTO entry \
         (position, commit_last, recorded_at, kind, release_id, part, body_digest, body, signatures) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
    )
    .bind(sql(entry.position))
    .bind(sql(commit_last))
    .bind(entry.recorded_at.0)
    .bind(entry.kind.as_str())
    .bind(entry.part.map(|(release, _)| release.as_str()))
    .bind(entry.part.map(|(_, part)| part))
    .bind(&entry.body.digest.0[..])
    .bind(&entry.body.bytes[..])
    .bind(signatures_to_bytes(&entry.body.signatures))
    .execute(&mut **tx)
    .await?;
    insert_facts(tx, entry).await
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

async fn insert_facts(tx: &mut Tx, entry: &NewEntry<'_>) -> Result<(), Fault> {
    let position = sql(entry.position);
    let rows = many::rows(ADDRESSEES, addressees(entry.audience), |row, (scope, name)| {
        row.push_bind(scope);
        row.push_bind(name);
        row.push_bind(position);
    });
    many::insert(tx, rows).await?;
    let rows = many::rows(DOCUMENTS, &entry.documents, |row, key| {
        row.push_bind(key.kind.as_str());
        row.push_bind(key.id.as_str());
        row.push_bind(position);
    });
    many::insert(tx, rows).await?;
    Ok(())
}
