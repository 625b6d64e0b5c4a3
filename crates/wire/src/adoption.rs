//! What kitchens say of entries.

use chablon_model::{Digest, Moment, SiteId};

use crate::common::moment;
use crate::form::{Coded, Wire, code, coded, parsed};
use crate::{At, Violation, pb};

/// What is said of an entry. No statement implies another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Statement {
    /// The site holds it and all that it needs.
    Received,
    /// The site works by it.
    InUse,
    /// The site doesn't work by it.
    Refused,
}

coded!(Statement = pb::AdoptionStatement { Received, InUse, Refused });

/// The longest reason, in bytes.
pub const MAX_REASON_BYTES: usize = 2000;

/// What a site says of an entry.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Acknowledgement {
    /// Who says it.
    pub site: SiteId,
    /// The position of the entry.
    pub position: u64,
    /// The digest of the entry's body.
    pub body_digest: Digest,
    /// What is said.
    pub statement: Statement,
    /// Since when it is so.
    pub at: Moment,
    /// Why: given for a refusal, and for nothing else.
    pub reason: Option<String>,
}

impl Wire for Acknowledgement {
    type Pb = pb::Acknowledgement;

    fn to_pb(&self) -> pb::Acknowledgement {
        pb::Acknowledgement {
            site: self.site.to_string(),
            position: self.position,
            body_digest: self.body_digest.to_pb(),
            statement: self.statement.code(),
            at_ms: self.at.0,
            reason: self.reason.clone().unwrap_or_default(),
        }
    }

    fn from_pb(ack: pb::Acknowledgement) -> Result<Self, Violation> {
        let statement = code(ack.statement, "statement")?;
        Ok(Self {
            site: parsed(&ack.site).at("site")?,
            position: position(ack.position)?,
            body_digest: Digest::from_pb(ack.body_digest).at("body_digest")?,
            reason: reason(statement, ack.reason).at("reason")?,
            statement,
            at: moment(ack.at_ms).at("at_ms")?,
        })
    }
}

fn reason(statement: Statement, reason: String) -> Result<Option<String>, Violation> {
    match (statement, reason.len()) {
        (Statement::Refused, _) if reason.trim().is_empty() => Err(Violation::required()),
        (Statement::Refused, size) if size > MAX_REASON_BYTES => {
            Err(Violation::new(format!("must have at most {MAX_REASON_BYTES} bytes")))
        }
        (Statement::Refused, _) => Ok(Some(reason)),
        (_, 0) => Ok(None),
        _ => Err(Violation::new("is given for a refusal alone")),
    }
}

/// What is known of an entry at a site.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Adoption {
    /// The site.
    pub site: SiteId,
    /// The position of the entry.
    pub position: u64,
    /// The digest of the entry's body.
    pub body_digest: Digest,
    /// When the site received it, if it said so.
    pub received_at: Option<Moment>,
    /// When the site put it to use, if it said so.
    pub in_use_at: Option<Moment>,
    /// When the site refused it and why, if it said so.
    pub refused: Option<(Moment, String)>,
}

impl Wire for Adoption {
    type Pb = pb::Adoption;

    fn to_pb(&self) -> pb::Adoption {
        pb::Adoption {
            site: self.site.to_string(),
            position: self.position,
            body_digest: self.body_digest.to_pb(),
            received_at_ms: self.received_at.map(|at| at.0),
            in_use_at_ms: self.in_use_at.map(|at| at.0),
            refused_at_ms: self.refused.as_ref().map(|(at, _)| at.0),
            refusal_reason: self.refused.as_ref().map_or_else(String::new, |(_, why)| why.clone()),
        }
    }

    fn from_pb(adoption: pb::Adoption) -> Result<Self, Violation> {
        let refused_at = adoption.refused_at_ms.map(moment).transpose().at("refused_at_ms")?;
        Ok(Self {
            refused: refused_at.map(|at| (at, adoption.refusal_reason)),
            site: parsed(&adoption.site).at("site")?,
            position: position(adoption.position)?,
            body_digest: Digest::from_pb(adoption.body_digest).at("body_digest")?,
            received_at: adoption.received_at_ms.map(moment).transpose().at("received_at_ms")?,
            in_use_at: adoption.in_use_at_ms.map(moment).transpose().at("in_use_at_ms")?,
        })
    }
}

fn position(position: u64) -> Result<u64, Violation> {
    if position == 0 { Err(Violation::required().at("position")) } else { Ok(position) }
}
