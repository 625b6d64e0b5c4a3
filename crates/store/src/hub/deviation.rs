//! Deviations as a hub keeps them.

use chablon_model::{Decision, Deviation, DeviationId, Digest, Moment, SiteId};

use crate::{Act, Actor, AuditRecord, FeedEntry, Frozen, Request};

/// What a site asks. The deviation's id names it, so that it may be sent again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AskCommit {
    /// When the hub took it.
    pub at: Moment,
    /// Who asks.
    pub by: Actor,
    /// What the body says; not decided.
    pub deviation: Deviation,
    /// The bytes, as the site's machine made them.
    pub body: Frozen,
}

impl AskCommit {
    /// What the log says of it.
    pub fn record(&self) -> AuditRecord {
        let Deviation { id, reason, .. } = &self.deviation;
        record(self.at, &self.by, Act::AskDeviation, id, reason)
    }
}

/// What is decided of a deviation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DecisionCommit {
    /// Which request this is.
    pub request: Request,
    /// When the hub took it.
    pub at: Moment,
    /// Who decides.
    pub by: Actor,
    /// What the decider saw: [`StoredDeviation::latest`] as it was then.
    pub seen: Digest,
    /// What the body says; decided.
    pub deviation: Deviation,
    /// The bytes, as the decider's machine made them.
    pub body: Frozen,
}

impl DecisionCommit {
    /// What the log says of it.
    pub fn record(&self) -> AuditRecord {
        let (act, said) = match &self.deviation.decision {
            Decision::Asked => (Act::AskDeviation, ""),
            Decision::Granted(grant) => {
                (Act::GrantDeviation, grant.note.as_deref().unwrap_or_default())
            }
            Decision::Refused { reason, .. } => (Act::RefuseDeviation, &**reason),
        };
        record(self.at, &self.by, act, &self.deviation.id, said)
    }
}

fn record(at: Moment, by: &Actor, act: Act, id: &DeviationId, said: &str) -> AuditRecord {
    let (subject, detail) = (format!("deviation/{id}"), said.to_owned());
    AuditRecord { at, by: by.clone(), act, subject, detail }
}

/// A deviation as it was asked for, with the last decision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StoredDeviation {
    /// Which one.
    pub id: DeviationId,
    /// Whose.
    pub site: SiteId,
    /// When the hub took what was asked.
    pub asked_at: Moment,
    /// What was asked.
    pub asked: Frozen,
    /// The last decision, shown by itself: its `previous_position` is 0.
    pub decided: Option<FeedEntry>,
}

impl StoredDeviation {
    /// The digest of the last that was said of it.
    pub fn latest(&self) -> Digest {
        self.decided.as_ref().map_or(self.asked.digest, |decided| decided.body.digest)
    }
}
