//! Deviations: what sites ask, and what is decided of it.

use std::num::NonZeroU32;

use chablon_change::{CannotApply, Edition, Objection, apply, assess};
use chablon_model::{
    Day, Decision, Deviation, DeviationId, Digest, DocumentContent, Moment, RevisionRef, SiteId,
    View,
};
use chablon_store::{
    Actor, AskCommit, DecisionCommit, Epoch, Frozen, HubError, Request, RequestId, StoredDeviation,
    digest_of,
};
use chablon_trust::{Payload, TrustError};
use chablon_wire::{decode_deviation, decode_revision};

use crate::bodies::{BodyError, content, read};
use crate::figures::Place;
use crate::{Exchange, FigureError, ReadError, StoreFault, TrustFault, blocking};

/// Why a deviation isn't taken, or not decided. Nothing was stored.
#[derive(Debug, thiserror::Error)]
pub enum DeviationError {
    /// The bytes are refused by themselves.
    #[error(transparent)]
    Body(#[from] BodyError),
    /// No released document describes the site.
    #[error("site `{0}` is unknown; release its site document first")]
    UnknownSite(SiteId),
    /// The revision that it departs from isn't stored.
    #[error("there is no revision {} of `{}` with the digest `{}`", .0.number, .0.key, .0.digest)]
    UnknownRevision(Box<RevisionRef>),
    /// Nobody asked for it.
    #[error("there is no deviation `{0}`")]
    Unknown(DeviationId),
    /// Its name was used for another.
    #[error("deviation `{0}` was asked for in other words; choose another id")]
    Exists(DeviationId),
    /// It doesn't fit what it departs from, or what was asked for.
    #[error("deviation `{id}`: {why}")]
    Unfit {
        /// The deviation.
        id: DeviationId,
        /// Why, and what would mend it.
        why: String,
    },
    /// Somebody else decided meanwhile.
    #[error("deviation `{0}` was decided by somebody else meanwhile; look at it again")]
    Decided(DeviationId),
    /// What is granted may not be made.
    #[error("deviation `{id}` can't be granted so: {}", told(.objections))]
    Objected {
        /// The deviation.
        id: DeviationId,
        /// Why not, at least one.
        objections: Vec<Objection>,
    },
    /// It isn't signed as the group's root wants it.
    #[error(transparent)]
    Untrusted(TrustError),
    /// The store refused the change for a reason that was not foreseen here.
    #[error("{0}")]
    Refused(String),
    /// The request's id was used with other content.
    #[error("request id `{0}` was used with other content; choose a new one")]
    RequestIdReused(RequestId),
    /// What it would be judged by can't be read.
    #[error(transparent)]
    Grounds(FigureError),
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

/// Objections as one text.
pub(crate) fn told(objections: &[Objection]) -> String {
    objections.iter().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}

impl From<HubError> for DeviationError {
    fn from(error: HubError) -> Self {
        match error {
            HubError::UnknownSite(site) => Self::UnknownSite(site),
            HubError::MissingRevision(reference) => Self::UnknownRevision(reference),
            HubError::UnknownDeviation(id) => Self::Unknown(id),
            HubError::DeviationExists(id) => Self::Exists(id),
            HubError::DeviationDecided(id) => Self::Decided(id),
            HubError::RequestIdReused(request) => Self::RequestIdReused(request),
            HubError::Malformed(what) => Self::Refused(what),
            other => Self::Store(StoreFault::of(other)),
        }
    }
}

impl From<TrustFault> for DeviationError {
    fn from(fault: TrustFault) -> Self {
        match fault {
            TrustFault::Refused(error) => Self::Untrusted(error),
            TrustFault::Store(fault) => Self::Store(fault),
            other => Self::Refused(other.to_string()),
        }
    }
}

impl From<FigureError> for DeviationError {
    fn from(error: FigureError) -> Self {
        match error {
            FigureError::Read(ReadError::UnknownSite(site)) => Self::UnknownSite(site),
            FigureError::Read(ReadError::Store(fault)) => Self::Store(fault),
            other => Self::Grounds(other),
        }
    }
}

/// A decision as it is asked to be recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DecisionRequest {
    /// The client's name for the request, by which it may be repeated.
    pub request_id: RequestId,
    /// What the decider saw: [`StoredDeviation::latest`].
    pub seen: Digest,
    /// The deviation with its decision.
    pub deviation: Frozen,
}

/// A decision that was recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Decided {
    /// The history of the feed.
    pub epoch: Epoch,
    /// Its position.
    pub position: u64,
}

/// Deviations, as far as a page goes.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Deviations {
    /// By id.
    pub deviations: Vec<StoredDeviation>,
    /// Whether there is more after these.
    pub more: bool,
}

/// How many bytes of bodies a page of deviations may have.
const PAGE_BYTES: usize = 1024 * 1024;

impl Exchange {
    /// Records what a site asks. Asked again in the same words, it is still asked once.
    pub async fn ask_deviation(
        &self,
        body: Frozen,
        by: Option<Actor>,
        now: Moment,
    ) -> Result<(), DeviationError> {
        let (deviation, body) = self.read_deviation(body).await?;
        if deviation.decision != Decision::Asked {
            return Err(unfit(
                &deviation,
                "it is decided as it is asked for; ask without a decision",
            ));
        }
        self.fits_recipe(&deviation).await?;
        let by = by.unwrap_or_else(|| stated(deviation.site.as_str()));
        Ok(self.store.ask_deviation(AskCommit { at: now, by, deviation, body }).await?)
    }

    /// Puts a decision into the feed of the site that asked.
    ///
    /// A grant is judged as the site would make it: what brings an allergen or moves a critical
    /// limit must be acknowledged in it. The same request may be sent again; it gets the first
    /// answer.
    pub async fn decide_deviation(
        &self,
        request: DecisionRequest,
        by: Option<Actor>,
        now: Moment,
    ) -> Result<Decided, DeviationError> {
        let DecisionRequest { request_id, seen, deviation: body } = request;
        let named = format!("decision 1\n{seen}\n{}", content(&body));
        let (deviation, body) = self.read_deviation(body).await?;
        if deviation.decision == Decision::Asked {
            return Err(unfit(&deviation, "nothing is decided; grant or refuse it"));
        }
        self.check_signed(Payload::Deviation, std::slice::from_ref(&body)).await?;
        self.is_as_asked(&deviation).await?;
        self.judge(&deviation, now).await?;
        let request = Request { id: request_id, digest: digest_of(named.as_bytes()) };
        let by = by.unwrap_or_else(|| stated(decider(&deviation)));
        let commit = DecisionCommit { request, at: now, by, seen, deviation, body };
        let committed = self.store.decide_deviation(commit).await?;
        Ok(Decided { epoch: committed.epoch, position: committed.first_position })
    }

    /// Deviations of a site, or of all, by id.
    pub async fn deviations(
        &self,
        site: Option<&SiteId>,
        after: Option<&DeviationId>,
        limit: NonZeroU32,
    ) -> Result<Deviations, ReadError> {
        if let Some(site) = site {
            self.record(site).await?;
        }
        let one_more = limit.saturating_add(1);
        let mut deviations = self.store.deviations(site, after, one_more).await?;
        let fits = fitting(&deviations).min(limit.get() as usize);
        let more = deviations.len() > fits;
        deviations.truncate(fits);
        Ok(Deviations { deviations, more })
    }

    async fn read_deviation(&self, body: Frozen) -> Result<(Deviation, Frozen), DeviationError> {
        blocking(move || Ok((read("deviation", &body, decode_deviation)?, body))).await
    }

    /// Refuses what can't lie over the revision that it departs from.
    async fn fits_recipe(&self, deviation: &Deviation) -> Result<(), DeviationError> {
        let based_on = &deviation.based_on;
        let unknown = || DeviationError::UnknownRevision(Box::new(based_on.clone()));
        let stored = self.held(&[based_on.digest]).await?.pop();
        let stored = stored.filter(|one| one.reference == *based_on).ok_or_else(unknown)?;
        let revision = decode_revision(&stored.bytes).map_err(|error| {
            StoreFault::unreadable(&format!("revision `{}`", based_on.digest), &error)
        })?;
        match &revision.content {
            DocumentContent::Recipe(recipe) => {
                apply(deviation, recipe).map(|_| ()).map_err(|why| unfit(deviation, &why))
            }
            _ => Err(unknown()),
        }
    }

    /// Refuses a decision on something else than was asked for.
    async fn is_as_asked(&self, deviation: &Deviation) -> Result<(), DeviationError> {
        let stored = self.store.deviation(&deviation.id).await?;
        let stored = stored.ok_or_else(|| DeviationError::Unknown(deviation.id.clone()))?;
        let asked = decode_deviation(&stored.asked.bytes).map_err(|error| {
            StoreFault::unreadable(&format!("deviation `{}`", deviation.id), &error)
        })?;
        let other = |what: &str| Err(unfit(deviation, &format!("{what} than was asked for")));
        match deviation {
            one if one.site != asked.site => other("it is of another site"),
            one if one.based_on.key != asked.based_on.key => other("it is of another recipe"),
            one if one.based_on == asked.based_on && one.departures != asked.departures => {
                other("it departs in another way")
            }
            _ => Ok(()),
        }
    }

    /// Refuses a grant of what may not be made under it.
    async fn judge(&self, deviation: &Deviation, now: Moment) -> Result<(), DeviationError> {
        let Some(grant) = deviation.decision.granted() else { return Ok(()) };
        self.fits_recipe(deviation).await?;
        let at = now.max(deviation.from);
        let (site, view) = (deviation.site.clone(), View::Site(deviation.site.clone()));
        let place = Place { site, view, at, by: self.store.state().await?.position };
        let (closure, _) = self.closure_of(&deviation.based_on).await?;
        let held = Deviation { from: at, until: Moment(i64::MAX), ..deviation.clone() };
        let closure = self.with_substitutes(&place, &closure, std::slice::from_ref(&held)).await?;
        let assessment = assess(deviation, &Edition::of_closure(&closure), any_day());
        let assessment = assessment.map_err(|why: CannotApply| unfit(deviation, &why))?;
        let objections = assessment.objections(grant);
        if objections.is_empty() {
            return Ok(());
        }
        Err(DeviationError::Objected { id: deviation.id.clone(), objections })
    }
}

/// A day for a comparison without prices, where it decides nothing.
fn any_day() -> Day {
    Day::new(1970, 1, 1).expect("a constant day")
}

/// Who calls an open hub without a name is taken for whom the deviation names.
fn stated(name: &str) -> Actor {
    Actor { name: name.to_owned(), role: None }
}

fn decider(deviation: &Deviation) -> &str {
    match &deviation.decision {
        Decision::Asked => deviation.site.as_str(),
        Decision::Granted(grant) => &grant.by,
        Decision::Refused { by, .. } => by,
    }
}

fn unfit(deviation: &Deviation, why: &(impl ToString + ?Sized)) -> DeviationError {
    DeviationError::Unfit { id: deviation.id.clone(), why: why.to_string() }
}

/// How many of these fit one answer.
fn fitting(deviations: &[StoredDeviation]) -> usize {
    let bytes = |one: &StoredDeviation| {
        one.asked.bytes.len() + one.decided.as_ref().map_or(0, |entry| entry.body.bytes.len())
    };
    let mut room = PAGE_BYTES;
    let fits = deviations.iter().take_while(|one| {
        let rest = room.checked_sub(bytes(one));
        room = rest.unwrap_or_default();
        rest.is_some()
    });
    fits.count().max(1)
}
