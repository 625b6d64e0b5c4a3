//! Deviations.

use std::num::NonZeroU32;
use std::sync::Arc;

use chablon_model::{Audience, Deviation, DeviationId, DocumentKey, DocumentKind, Moment, SiteId};
use chablon_store::backend::{KnownToDecide, asked_again, fits_decision};
use chablon_store::{
    AskCommit, Committed, DecisionCommit, EntryKind, FeedEntry, Frozen, HubError, StoredDeviation,
};

use super::append::{NewEntry, Unplaced, answered, entry, finish};
use super::withdraw::was_recorded;
use super::{audit, release, sites};
use crate::database::{Database, Tx};
use crate::fault::{Damage, Fault};
use crate::values::Place;

/// A deviation with its last decision, where there is one.
#[derive(sqlx::FromRow)]
struct DeviationRow {
    id: String,
    site: String,
    recipe: String,
    asked_at: i64,
    asked_digest: Vec<u8>,
    asked: Vec<u8>,
    position: Option<i64>,
    recorded_at: Option<i64>,
    body_digest: Option<Vec<u8>>,
    body: Option<Vec<u8>>,
    signatures: Option<Vec<u8>>,
}

/// The columns of [`DeviationRow`].
macro_rules! deviation_query {
    ($rest:literal) => {
        concat!(
            "SELECT d.id, d.site, d.recipe, d.asked_at, d.asked_digest, d.asked, \
                 p.position, e.recorded_at, e.body_digest, e.body, e.signatures \
             FROM deviation d LEFT JOIN entry e ON e.entry_id = d.decided \
                 LEFT JOIN place p USING (entry_id) ",
            $rest
        )
    };
}

impl DeviationRow {
    fn value(self) -> Result<StoredDeviation, Damage> {
        let id = self.id.clone();
        let place = Place::new("deviation", &id);
        let asked = Frozen::stated(place.digest(&self.asked_digest)?, self.asked);
        let body = self.body.zip(self.signatures);
        let decided = match (self.position, self.recorded_at, self.body_digest, body) {
            (Some(position), Some(recorded_at), Some(digest), Some((body, signed))) => {
                Some(FeedEntry {
                    position: place.position(position)?,
                    previous_position: 0,
                    recorded_at: Moment(recorded_at),
                    kind: EntryKind::Deviation,
                    body: place.frozen(&digest, body, &signed)?,
                })
            }
            _ => None,
        };
        let (id, site) = (place.id(&self.id)?, place.id(&self.site)?);
        Ok(StoredDeviation { id, site, asked_at: Moment(self.asked_at), asked, decided })
    }

    fn known(self, recorded: bool) -> Result<KnownToDecide, Damage> {
        let id = self.id.clone();
        let recipe = Place::new("deviation", &id).id(&self.recipe)?;
        let stored = self.value()?;
        Ok(KnownToDecide {
            recipe: DocumentKey { kind: DocumentKind::Recipe, id: recipe },
            latest: stored.latest(),
            site: stored.site,
            recorded,
        })
    }
}

pub(super) async fn ask(database: Database, commit: Arc<AskCommit>) -> Result<(), Fault> {
    let mut tx = database.write().await?;
    let Deviation { id, site, based_on, .. } = &commit.deviation;
    if sites::site(&mut *tx, site).await?.is_none() {
        return Err(HubError::UnknownSite(site.clone()).into());
    }
    let held = release::held(&mut tx, [based_on.digest]).await?;
    if held.get(&based_on.digest) != Some(based_on) {
        return Err(HubError::MissingRevision(Box::new(based_on.clone())).into());
    }
    // Of two at once the second waits here for the first.
    if !insert(&mut tx, &commit).await? {
        let before = row(&mut tx, id).await?.map(DeviationRow::value).transpose()?;
        let lost = || Place::new("deviation", id).damage("it is there and can't be read");
        return Ok(asked_again(&commit, before.ok_or_else(lost)?.asked.digest)?);
    }
    audit::finish(tx, &commit.record()).await
}

/// Keeps what is asked, unless its name is taken.
async fn insert(tx: &mut Tx, commit: &AskCommit) -> Result<bool, Fault> {
    let Deviation { id, site, based_on, .. } = &commit.deviation;
    let kept = sqlx::query(
        "INSERT INTO deviation (id, site, recipe, asked_at, asked_digest, asked) \
         VALUES ($1, $2, $3, $4, $5, $6) ON CONFLICT DO NOTHING",
    )
    .bind(id.as_str())
    .bind(site.as_str())
    .bind(based_on.key.id.as_str())
    .bind(commit.at.0)
    .bind(&commit.body.digest.0[..])
    .bind(&commit.body.bytes[..])
    .execute(&mut **tx)
    .await?;
    Ok(kept.rows_affected() > 0)
}

pub(super) async fn decide(
    database: Database,
    commit: Arc<DecisionCommit>,
) -> Result<Committed, Fault> {
    let mut tx = database.write().await?;
    if let Some(before) = answered(&mut tx, &commit.request).await? {
        return Ok(before);
    }
    let id = &commit.deviation.id;
    lock(&mut tx, id).await?;
    let recorded = was_recorded(&mut tx, &commit.deviation.based_on.key, &commit.body).await?;
    let known = row(&mut tx, id).await?.map(|row| row.known(recorded)).transpose()?;
    fits_decision(&commit, known)?;
    let new = NewEntry {
        recorded_at: commit.at,
        kind: EntryKind::Deviation,
        part: None,
        documents: vec![&commit.deviation.based_on.key],
        items: Vec::new(),
        body: &commit.body,
    };
    let entry_id = entry(&mut tx, &commit.request, &new).await?;
    sqlx::query("UPDATE deviation SET decided = $2 WHERE id = $1")
        .bind(id.as_str())
        .bind(entry_id)
        .execute(&mut *tx)
        .await?;
    let mut entries = Unplaced::default();
    entries.push(entry_id, &Audience::site(commit.deviation.site.clone()));
    finish(tx, &entries, &commit.record()).await
}

/// Makes others who decide wait, so that each sees what the one before has decided.
async fn lock(tx: &mut Tx, id: &DeviationId) -> Result<(), Fault> {
    sqlx::query("SELECT 1 FROM deviation WHERE id = $1 FOR UPDATE")
        .bind(id.as_str())
        .execute(&mut **tx)
        .await?;
    Ok(())
}

pub(super) async fn one(
    database: &Database,
    id: &DeviationId,
) -> Result<Option<StoredDeviation>, Fault> {
    let mut tx = database.read().await?;
    Ok(row(&mut tx, id).await?.map(DeviationRow::value).transpose()?)
}

pub(super) async fn list(
    database: &Database,
    site: Option<&SiteId>,
    after: Option<&DeviationId>,
    limit: NonZeroU32,
) -> Result<Vec<StoredDeviation>, Fault> {
    let rows: Vec<DeviationRow> = sqlx::query_as(deviation_query!(
        "WHERE ($1 IS NULL OR d.site = $1) AND ($2 IS NULL OR d.id > $2) ORDER BY d.id LIMIT $3"
    ))
    .bind(site.map(SiteId::as_str))
    .bind(after.map(DeviationId::as_str))
    .bind(i64::from(limit.get()))
    .fetch_all(database.readers())
    .await?;
    Ok(rows.into_iter().map(DeviationRow::value).collect::<Result<_, _>>()?)
}

async fn row(tx: &mut Tx, id: &DeviationId) -> Result<Option<DeviationRow>, Fault> {
    let row = sqlx::query_as(deviation_query!("WHERE d.id = $1"));
    Ok(row.bind(id.as_str()).fetch_optional(&mut **tx).await?)
}
