//! Deviations.

use std::num::NonZeroU32;

use chablon_model::{Audience, Deviation, DeviationId, DocumentKey, DocumentKind, Moment, SiteId};
use chablon_store::backend::{KnownToDecide, asked_again, fits_decision};
use chablon_store::{
    AskCommit, Committed, DecisionCommit, EntryKind, FeedEntry, Frozen, HubError, StoredDeviation,
};

use super::append::{NewEntry, Turn, entries, finish, turn};
use super::withdraw::was_recorded;
use super::{Fault, audit, release, sites};
use crate::database::{Database, Tx};
use crate::fault::Damage;
use crate::many::Batch;
use crate::values::{Place, sql};

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
                 e.position, e.recorded_at, e.body_digest, e.body, e.signatures \
             FROM deviation d LEFT JOIN entry e ON e.position = d.decided ",
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

pub(super) async fn ask(tx: &mut Tx, commit: &AskCommit) -> Result<(), Fault> {
    let Deviation { id, site, based_on, .. } = &commit.deviation;
    if let Some(before) = row(tx, id).await? {
        return Ok(asked_again(commit, before.value()?.asked.digest)?);
    }
    if sites::site(tx, site).await?.is_none() {
        return Err(HubError::UnknownSite(site.clone()).into());
    }
    let held = release::held(tx, [based_on.digest]).await?;
    if held.get(&based_on.digest) != Some(based_on) {
        return Err(HubError::MissingRevision(Box::new(based_on.clone())).into());
    }
    insert(tx, commit).await?;
    audit::note(tx, &commit.record()).await
}

async fn insert(tx: &mut Tx, commit: &AskCommit) -> Result<(), Fault> {
    let Deviation { id, site, based_on, .. } = &commit.deviation;
    sqlx::query(
        "INSERT INTO deviation (id, site, recipe, asked_at, asked_digest, asked) \
         VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
    )
    .bind(id.as_str())
    .bind(site.as_str())
    .bind(based_on.key.id.as_str())
    .bind(commit.at.0)
    .bind(&commit.body.digest.0[..])
    .bind(&commit.body.bytes[..])
    .execute(&mut **tx)
    .await?;
    Ok(())
}

pub(super) async fn decide(tx: &mut Tx, commit: &DecisionCommit) -> Result<Committed, Fault> {
    let before = match turn(tx, &commit.request).await? {
        Turn::Answered(answer) => return Ok(answer),
        Turn::After(standing) => standing,
    };
    let id = &commit.deviation.id;
    let recorded = was_recorded(tx, &commit.deviation.based_on.key, &commit.body).await?;
    let known = row(tx, id).await?.map(|row| row.known(recorded)).transpose()?;
    fits_decision(commit, known)?;
    let committed = before.span(1);
    let new = NewEntry {
        position: committed.first_position,
        recorded_at: commit.at,
        kind: EntryKind::Deviation,
        part: None,
        audience: &Audience::site(commit.deviation.site.clone()),
        documents: vec![&commit.deviation.based_on.key],
        body: &commit.body,
    };
    let mut change = Batch::default();
    entries(&mut change, &[new], committed.last_position);
    change.then(|statement| {
        statement.push("UPDATE deviation SET decided = ").push_bind(sql(committed.first_position));
        statement.push(" WHERE id = ").push_bind(id.as_str());
    });
    audit::noted(&mut change, &commit.record());
    finish(tx, change, &commit.request, committed).await
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
        "WHERE (?1 IS NULL OR d.site = ?1) AND (?2 IS NULL OR d.id > ?2) ORDER BY d.id LIMIT ?3"
    ))
    .bind(site.map(SiteId::as_str))
    .bind(after.map(DeviationId::as_str))
    .bind(limit.get())
    .fetch_all(database.readers())
    .await?;
    Ok(rows.into_iter().map(DeviationRow::value).collect::<Result<_, _>>()?)
}

async fn row(tx: &mut Tx, id: &DeviationId) -> Result<Option<DeviationRow>, Fault> {
    let row = sqlx::query_as(deviation_query!("WHERE d.id = ?1"));
    Ok(row.bind(id.as_str()).fetch_optional(&mut **tx).await?)
}
