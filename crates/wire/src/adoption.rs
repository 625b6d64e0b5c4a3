//! What kitchens say of entries.

use chablon_model::{Digest, Moment, SiteId};

use crate::common::moment;
use crate::form::{Coded, Wire, code, coded, parsed};
use crate::{At, Violation, pb};

/// What is said of an entry. Neither statement implies the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Statement {
    /// The site holds it and all that it needs.
    Received,
    /// The site works by it.
    InUse,
}

coded!(Statement = pb::AdoptionStatement { Received, InUse });

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
        }
    }

    fn from_pb(ack: pb::Acknowledgement) -> Result<Self, Violation> {
        Ok(Self {
            site: parsed(&ack.site).at("site")?,
            position: position(ack.position)?,
            body_digest: Digest::from_pb(ack.body_digest).at("body_digest")?,
            statement: code(ack.statement, "statement")?,
            at: moment(ack.at_ms).at("at_ms")?,
        })
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
        }
    }

    fn from_pb(adoption: pb::Adoption) -> Result<Self, Violation> {
        Ok(Self {
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
