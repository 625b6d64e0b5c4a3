//! Deviations: what kitchens ask, and what is decided of it.
//!
//! A kitchen [asks](crate::Client::ask_deviation). What it means is judged by what is in force at
//! its site ([`SiteStandards`], from a hub or a replica) with [`assess`](crate::change::assess).
//! Whoever decides makes a [`DecisionDraft`] of what was [`Submitted`] and
//! [sends](crate::Client::decide_deviation) it. From then on it lies over the standard in every
//! plan, costing and declaration of the site, which name it.

use std::collections::BTreeMap;

use chablon_change::{CannotApply, Edition, ThreeWay, three_way};
use chablon_model::{
    Day, Decision, Deviation, DeviationStanding, Digest, DocumentContent, DocumentKey, Moment,
    RecipeId, Revision, RevisionRef,
};
use chablon_store::RequestId;
use chablon_trust::{Payload, SigningKey, sign};
use chablon_wire::{Standard, StandardState, decode_deviation, encode_deviation};

use crate::error::Kind;
use crate::publish::{self, random_request};
use crate::{Error, SignedBytes};

/// A deviation as it was asked for, with the last decision.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Submitted {
    /// What was asked.
    pub asked: Deviation,
    /// When the hub took it.
    pub asked_at: Moment,
    /// The last decision, with its position in the feed.
    pub decided: Option<(u64, Deviation)>,
    pub(crate) seen: Digest,
}

impl Submitted {
    /// The deviation as it stands: as it was decided last, or as it was asked for.
    pub fn latest(&self) -> &Deviation {
        self.decided.as_ref().map_or(&self.asked, |(_, decided)| decided)
    }
}

/// What a deviation comes to at a moment, beside the standard that is in force then.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum State {
    /// Nothing was decided.
    Asked,
    /// It was granted for another revision than is in force: it must be decided anew.
    Again,
    /// It lies over the standard, unless something stands against it there.
    InForce,
    /// It is granted and holds later.
    NotYet,
    /// It was refused, or taken back.
    Refused,
    /// It has fallen away.
    Expired,
}

impl State {
    /// What a deviation comes to, given the revision of its recipe that is in force at its site.
    pub fn of(deviation: &Deviation, at: Moment, standard: Option<&RevisionRef>) -> Self {
        let fits = standard == Some(&deviation.based_on);
        match deviation.standing(at) {
            DeviationStanding::Asked => Self::Asked,
            DeviationStanding::Refused => Self::Refused,
            DeviationStanding::Expired => Self::Expired,
            DeviationStanding::NotYet | DeviationStanding::InForce if !fits => Self::Again,
            DeviationStanding::NotYet => Self::NotYet,
            DeviationStanding::InForce => Self::InForce,
        }
    }

    /// The state's name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Asked => "asked",
            Self::Again => "to-decide-anew",
            Self::InForce => "in-force",
            Self::NotYet => "not-yet",
            Self::Refused => "refused",
            Self::Expired => "fallen-away",
        }
    }
}

/// A deviation that was granted and hasn't fallen away, beside the standard of its recipe.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct ByLeave {
    /// The deviation as it was granted.
    pub deviation: Deviation,
    /// What it comes to: [`State::InForce`], [`State::NotYet`] or [`State::Again`].
    pub state: State,
}

impl ByLeave {
    /// Of a site's deviations, those that the site has leave for from a standard, in their order.
    pub fn from(deviations: &[Deviation], standard: &Standard, at: Moment) -> Vec<Self> {
        let in_force = match &standard.state {
            StandardState::InForce(in_force) => Some(&in_force.revision),
            StandardState::Stopped(_) => None,
        };
        let of_it = |one: &&Deviation| DocumentKey::from(&one.recipe()) == standard.document;
        let with_state = |one: &Deviation| {
            let state = State::of(one, at, in_force);
            let holds = matches!(state, State::InForce | State::NotYet | State::Again);
            holds.then(|| Self { deviation: one.clone(), state })
        };
        deviations.iter().filter(of_it).filter_map(with_state).collect()
    }
}

/// All that is in force at one site at one moment.
#[derive(Clone, Debug, Default)]
pub struct SiteStandards {
    documents: Vec<DocumentContent>,
    revisions: BTreeMap<DocumentKey, RevisionRef>,
}

impl SiteStandards {
    pub(crate) fn of(read: Vec<(RevisionRef, Revision)>) -> Self {
        let revisions = read.iter().map(|(one, _)| (one.key.clone(), one.clone())).collect();
        let documents = read.into_iter().map(|(_, revision)| revision.content).collect();
        Self { documents, revisions }
    }

    /// The documents, as they are compared.
    pub fn edition(&self) -> Edition<'_> {
        Edition::new(&self.documents)
    }

    /// The documents.
    pub fn documents(&self) -> &[DocumentContent] {
        &self.documents
    }

    /// The revision of a recipe that is in force.
    pub fn revision(&self, recipe: &RecipeId) -> Option<&RevisionRef> {
        self.revisions.get(&recipe.into())
    }

    /// Puts a deviation again whose recipe has another standard than it is based on: base,
    /// deviation and new standard, with what each departure comes to.
    ///
    /// `base` is what the revision that it is based on says. Nothing where that is in force still,
    /// or nothing of the recipe is.
    ///
    /// # Errors
    /// [`CannotApply`] where the deviation doesn't fit its own base.
    pub fn put_again(
        &self,
        deviation: &Deviation,
        base: &DocumentContent,
        day: Day,
    ) -> Result<Option<ThreeWay>, CannotApply> {
        let now = self.revision(&deviation.recipe());
        let Some(now) = now.filter(|now| **now != deviation.based_on) else { return Ok(None) };
        let new = self.edition();
        let old = new.clone().with(base);
        three_way(deviation, &old, &new, now, day).map(Some)
    }
}

/// A decision that was made ready and not sent.
///
/// Sent twice it is still one decision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DecisionDraft {
    deviation: Deviation,
    /// Its bytes.
    frozen: SignedBytes,
    seen: Digest,
    request: RequestId,
}

impl DecisionDraft {
    /// Decides on what was submitted. `decided` is the deviation as it is to stand: its limits, its
    /// time, and where the standard beneath it is another its departures, may differ from what was
    /// asked.
    ///
    /// # Errors
    /// [`Error::is_invalid`] where nothing is decided, or it breaks a rule.
    pub fn new(submitted: &Submitted, decided: Deviation) -> Result<Self, Error> {
        if decided.decision == Decision::Asked {
            return Err(Error::new(Kind::Invalid, "nothing is decided: grant or refuse it"));
        }
        let frozen = frozen(&decided)?;
        let (seen, request) = (submitted.seen, random_request());
        Ok(Self { deviation: decided, frozen, seen, request })
    }

    /// The deviation with its decision.
    pub fn deviation(&self) -> &Deviation {
        &self.deviation
    }

    /// Signs it with a release key. Where a group's root wants several keys, each signs.
    pub fn sign(&mut self, key: &SigningKey) {
        sign(&mut self.frozen, Payload::Deviation, key);
    }

    pub(crate) fn to_request(&self) -> DecisionRequest {
        let (id, deviation) = (self.request.clone(), self.frozen.clone());
        DecisionRequest { id, seen: self.seen, deviation }
    }
}

/// A decision as it is sent.
#[derive(Clone, Debug)]
pub(crate) struct DecisionRequest {
    pub(crate) id: RequestId,
    pub(crate) seen: Digest,
    pub(crate) deviation: SignedBytes,
}

/// The bytes of what is asked or decided, if it keeps the rules.
pub(crate) fn frozen(deviation: &Deviation) -> Result<SignedBytes, Error> {
    let bytes = encode_deviation(deviation);
    // What the hub would refuse is refused here, in the same words.
    decode_deviation(&bytes)
        .map_err(|error| Error::of_content(&error).while_doing("the deviation"))?;
    Ok(publish::frozen(bytes))
}
