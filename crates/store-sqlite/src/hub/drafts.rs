//! Drafts.

use std::collections::HashMap;
use std::num::NonZeroU32;

use async_trait::async_trait;
use chablon_model::{Draft, DraftAct, DraftEvent, DraftId, DraftState, Moment};
use chablon_store::backend::{after_release, after_step, check_step, step_repeated};
use chablon_store::{
    DraftCommit, DraftStore, Frozen, HubError, ReleaseCommit, Request, StoredDraft,
};
use sqlx::SqliteConnection;

use super::{Fault, SqliteHub, audit};
use crate::database::Tx;
use crate::fault::Damage;
use crate::values::Place;

#[derive(sqlx::FromRow)]
struct DraftRow {
    id: String,
    state: String,
    etag: Vec<u8>,
    author: String,
    note: String,
}

impl DraftRow {
    fn value(self, events: Vec<DraftEvent>) -> Result<Draft, Damage> {
        let place = Place::new("draft", &self.id);
        let unknown = || place.damage("the state is unknown");
        Ok(Draft {
            id: place.id(&self.id)?,
            state: DraftState::parse(&self.state).ok_or_else(unknown)?,
            etag: place.digest(&self.etag)?,
            author: self.author,
            note: self.note,
            events,
        })
    }
}

#[derive(sqlx::FromRow)]
struct EventRow {
    draft: String,
    act: String,
    by_name: String,
    at: i64,
    etag: Vec<u8>,
    text: String,
}

impl EventRow {
    fn value(self) -> Result<DraftEvent, Damage> {
        let place = Place::new("draft_event", &self.draft);
        let unknown = || place.damage("the act is unknown");
        Ok(DraftEvent {
            act: DraftAct::parse(&self.act).ok_or_else(unknown)?,
            by: self.by_name,
            at: Moment(self.at),
            etag: place.digest(&self.etag)?,
            text: self.text,
        })
    }
}

#[async_trait]
impl DraftStore for SqliteHub {
    async fn take_step(&self, commit: DraftCommit) -> Result<Draft, HubError> {
        check_step(&commit)?;
        Ok(self.writer.change(commit, |tx, commit| Box::pin(take_step(tx, commit))).await?)
    }

    async fn draft(&self, id: &DraftId) -> Result<Option<StoredDraft>, HubError> {
        let mut tx = self.database.read().await.map_err(Fault::from)?;
        Ok(stored(&mut tx, id).await?)
    }

    async fn drafts(
        &self,
        states: &[DraftState],
        after: Option<&DraftId>,
        limit: NonZeroU32,
    ) -> Result<Vec<Draft>, HubError> {
        let mut tx = self.database.read().await.map_err(Fault::from)?;
        Ok(list(&mut tx, states, after, limit).await?)
    }
}

async fn take_step(tx: &mut Tx, commit: &DraftCommit) -> Result<Draft, Fault> {
    let before = one(tx, &commit.draft).await?;
    if taken(tx, &commit.request).await? {
        return Ok(before.ok_or_else(|| HubError::UnknownDraft(commit.draft.clone()))?);
    }
    let draft = after_step(before.as_ref(), commit)?;
    write(tx, &draft, commit.step.content()).await?;
    sqlx::query("INSERT INTO draft_request (request_id, digest) VALUES (?1, ?2)")
        .bind(commit.request.id.as_str())
        .bind(&commit.request.digest.0[..])
        .execute(&mut **tx)
        .await?;
    audit::note(tx, &commit.record()).await?;
    Ok(draft)
}

/// Ends the draft that a release puts in force.
pub(super) async fn release(tx: &mut Tx, commit: &ReleaseCommit) -> Result<(), Fault> {
    let Some(id) = commit.draft_id() else { return Ok(()) };
    let before = one(tx, id).await?;
    write(tx, &after_release(before.as_ref(), commit)?, None).await
}

/// Whether a step was taken under this request's name; a release may not have been.
async fn taken(tx: &mut Tx, request: &Request) -> Result<bool, Fault> {
    let released: bool =
        sqlx::query_scalar("SELECT EXISTS (SELECT 1 FROM request WHERE request_id = ?1)")
            .bind(request.id.as_str())
            .fetch_one(&mut **tx)
            .await?;
    if released {
        return Err(HubError::RequestIdReused(request.id.clone()).into());
    }
    let digest: Option<Vec<u8>> =
        sqlx::query_scalar("SELECT digest FROM draft_request WHERE request_id = ?1")
            .bind(request.id.as_str())
            .fetch_optional(&mut **tx)
            .await?;
    let Some(digest) = digest else { return Ok(false) };
    let digest = Place::new("draft_request", &request.id).digest(&digest)?;
    step_repeated(request, digest)?;
    Ok(true)
}

/// Writes a draft with its last event, which is new, and what it holds where that is new.
async fn write(tx: &mut Tx, draft: &Draft, content: Option<&Frozen>) -> Result<(), Fault> {
    match content {
        Some(content) => put(tx, draft, content).await?,
        None => stand(tx, draft).await?,
    }
    let Some(event) = draft.events.last() else { return Ok(()) };
    sqlx::query(
        "INSERT INTO draft_event (draft, number, act, by_name, at, etag, text) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )
    .bind(draft.id.as_str())
    .bind(i64::try_from(draft.events.len()).unwrap_or(i64::MAX))
    .bind(event.act.as_str())
    .bind(&event.by)
    .bind(event.at.0)
    .bind(&event.etag.0[..])
    .bind(&event.text)
    .execute(&mut **tx)
    .await?;
    Ok(())
}

async fn put(tx: &mut Tx, draft: &Draft, content: &Frozen) -> Result<(), Fault> {
    sqlx::query(
        "INSERT INTO draft (id, state, etag, author, note, content_digest, content) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7) ON CONFLICT (id) DO UPDATE \
         SET state = ?2, etag = ?3, note = ?5, content_digest = ?6, content = ?7",
    )
    .bind(draft.id.as_str())
    .bind(draft.state.as_str())
    .bind(&draft.etag.0[..])
    .bind(&draft.author)
    .bind(&draft.note)
    .bind(&content.digest.0[..])
    .bind(&content.bytes[..])
    .execute(&mut **tx)
    .await?;
    Ok(())
}

async fn stand(tx: &mut Tx, draft: &Draft) -> Result<(), Fault> {
    sqlx::query("UPDATE draft SET state = ?2 WHERE id = ?1")
        .bind(draft.id.as_str())
        .bind(draft.state.as_str())
        .execute(&mut **tx)
        .await?;
    Ok(())
}

async fn one(connection: &mut SqliteConnection, id: &DraftId) -> Result<Option<Draft>, Fault> {
    let row: Option<DraftRow> =
        sqlx::query_as("SELECT id, state, etag, author, note FROM draft WHERE id = ?1")
            .bind(id.as_str())
            .fetch_optional(&mut *connection)
            .await?;
    let Some(row) = row else { return Ok(None) };
    Ok(with_events(connection, vec![row]).await?.pop())
}

async fn stored(tx: &mut Tx, id: &DraftId) -> Result<Option<StoredDraft>, Fault> {
    let Some(draft) = one(tx, id).await? else { return Ok(None) };
    let (digest, bytes): (Vec<u8>, Vec<u8>) =
        sqlx::query_as("SELECT content_digest, content FROM draft WHERE id = ?1")
            .bind(id.as_str())
            .fetch_one(&mut **tx)
            .await?;
    let digest = Place::new("draft", id).digest(&digest)?;
    Ok(Some(StoredDraft { draft, content: Frozen::stated(digest, bytes) }))
}

async fn list(
    tx: &mut Tx,
    states: &[DraftState],
    after: Option<&DraftId>,
    limit: NonZeroU32,
) -> Result<Vec<Draft>, Fault> {
    let states: Vec<String> =
        states.iter().map(|state| format!("\"{}\"", state.as_str())).collect();
    let rows: Vec<DraftRow> = sqlx::query_as(
        "SELECT id, state, etag, author, note FROM draft \
         WHERE state IN (SELECT value FROM json_each(?1)) AND id > ?2 ORDER BY id LIMIT ?3",
    )
    .bind(format!("[{}]", states.join(",")))
    .bind(after.map_or("", |after| after.as_str()))
    .bind(limit.get())
    .fetch_all(&mut **tx)
    .await?;
    with_events(tx, rows).await
}

/// Drafts with all that was done to them.
async fn with_events(
    connection: &mut SqliteConnection,
    rows: Vec<DraftRow>,
) -> Result<Vec<Draft>, Fault> {
    let ids: Vec<String> = rows.iter().map(|row| format!("\"{}\"", row.id)).collect();
    let events: Vec<EventRow> = sqlx::query_as(
        "SELECT draft, act, by_name, at, etag, text FROM draft_event \
         WHERE draft IN (SELECT value FROM json_each(?1)) ORDER BY draft, number",
    )
    .bind(format!("[{}]", ids.join(",")))
    .fetch_all(connection)
    .await?;
    let mut by_draft: HashMap<String, Vec<DraftEvent>> = HashMap::new();
    for row in events {
        by_draft.entry(row.draft.clone()).or_default().push(row.value()?);
    }
    let draft = |row: DraftRow| {
        let events = by_draft.remove(&row.id).unwrap_or_default();
        row.value(events)
    };
    Ok(rows.into_iter().map(draft).collect::<Result<_, _>>()?)
}
