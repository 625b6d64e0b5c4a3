//! What is in force, as it travels.

use chablon_model::{DocumentKey, Manifest, Moment, ReleaseId, RevisionRef, Standing, Withdrawal};

use crate::common::moment;
use crate::form::{Wire, optional, parsed, required, to_optional};
use crate::{At, Violation, pb};

/// What is in force of a document for a site at a moment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Standard {
    /// The document.
    pub document: DocumentKey,
    /// What is to be made.
    pub state: StandardState,
}

/// What is to be made of a document.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StandardState {
    /// This revision.
    InForce(InForce),
    /// None, until further notice.
    Stopped(TakenBack),
}

/// A revision in force.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InForce {
    /// The revision.
    pub revision: RevisionRef,
    /// The release that put it in force, or whose revision was withdrawn in favour of it.
    pub release: ReleaseId,
    /// The position of that release.
    pub position: u64,
    /// From when that release holds.
    pub holds_from: Moment,
    /// That release's note.
    pub note: String,
    /// The withdrawal that went back to this revision.
    pub because: Option<TakenBack>,
}

/// What a withdrawal says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TakenBack {
    /// What was withdrawn.
    pub withdrawn: RevisionRef,
    /// From when.
    pub holds_from: Moment,
    /// Why, for people.
    pub reason: String,
    /// Who withdrew it.
    pub author: String,
}

impl Standard {
    /// The standard of a document by what stands of it; none where nothing was released.
    pub fn of(document: DocumentKey, standing: &Standing<'_>) -> Option<Self> {
        let state = match standing {
            Standing::None => return None,
            Standing::InForce { revision, release, position, because } => {
                StandardState::InForce(in_force(revision, release, *position, *because))
            }
            Standing::Stopped { because } => StandardState::Stopped(taken_back(because)),
        };
        Some(Self { document, state })
    }
}

fn in_force(
    revision: &RevisionRef,
    release: &Manifest,
    position: u64,
    because: Option<&Withdrawal>,
) -> InForce {
    InForce {
        revision: revision.clone(),
        release: release.release.clone(),
        position,
        holds_from: release.holds_from,
        note: release.note.clone(),
        because: because.map(taken_back),
    }
}

fn taken_back(withdrawal: &Withdrawal) -> TakenBack {
    TakenBack {
        withdrawn: withdrawal.revision.clone(),
        holds_from: withdrawal.holds_from,
        reason: withdrawal.reason.clone(),
        author: withdrawal.author.clone(),
    }
}

impl Wire for Standard {
    type Pb = pb::Standard;

    fn to_pb(&self) -> pb::Standard {
        let state = match &self.state {
            StandardState::InForce(in_force) => pb::standard::State::InForce(in_force.to_pb()),
            StandardState::Stopped(because) => {
                pb::standard::State::Stopped(pb::Stopped { because: Some(because.to_pb()) })
            }
        };
        pb::Standard { document: Some(self.document.to_pb()), state: Some(state) }
    }

    fn from_pb(standard: pb::Standard) -> Result<Self, Violation> {
        let document = required(standard.document, "document")?;
        let state = state(standard.state).at("state")?;
        Ok(Self { document, state })
    }
}

fn state(state: Option<pb::standard::State>) -> Result<StandardState, Violation> {
    match state.ok_or_else(Violation::required)? {
        pb::standard::State::InForce(in_force) => {
            InForce::from_pb(in_force).map(StandardState::InForce).at("in_force")
        }
        pb::standard::State::Stopped(stopped) => {
            required(stopped.because, "because").map(StandardState::Stopped).at("stopped")
        }
    }
}

impl Wire for InForce {
    type Pb = pb::InForce;

    fn to_pb(&self) -> pb::InForce {
        pb::InForce {
            revision: Some(self.revision.to_pb()),
            release_id: self.release.to_string(),
            position: self.position,
            holds_from_ms: self.holds_from.0,
            note: self.note.clone(),
            because: to_optional(self.because.as_ref()),
        }
    }

    fn from_pb(in_force: pb::InForce) -> Result<Self, Violation> {
        Ok(Self {
            revision: required(in_force.revision, "revision")?,
            release: parsed(&in_force.release_id).at("release_id")?,
            position: in_force.position,
            holds_from: moment(in_force.holds_from_ms).at("holds_from_ms")?,
            note: in_force.note,
            because: optional(in_force.because, "because")?,
        })
    }
}

impl Wire for TakenBack {
    type Pb = pb::TakenBack;

    fn to_pb(&self) -> pb::TakenBack {
        pb::TakenBack {
            withdrawn: Some(self.withdrawn.to_pb()),
            holds_from_ms: self.holds_from.0,
            reason: self.reason.clone(),
            author: self.author.clone(),
        }
    }

    fn from_pb(taken_back: pb::TakenBack) -> Result<Self, Violation> {
        Ok(Self {
            withdrawn: required(taken_back.withdrawn, "withdrawn")?,
            holds_from: moment(taken_back.holds_from_ms).at("holds_from_ms")?,
            reason: taken_back.reason,
            author: taken_back.author,
        })
    }
}
