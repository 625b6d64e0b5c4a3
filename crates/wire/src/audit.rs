//! The log of changes, as it travels.

use chablon_model::{Moment, Role};

use crate::common::moment;
use crate::form::Wire;
use crate::{At, Violation, pb};

/// What the log says of one change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AuditRecord {
    /// Its place in the log, from 1, without gaps.
    pub number: u64,
    /// When the hub took the change.
    pub at: Moment,
    /// Who made it.
    pub by: String,
    /// The role of whoever made it; none where the hub asks nobody who they are.
    pub role: Option<Role>,
    /// What was done: `release`, `withdraw`, `approve-draft`. Newer hubs may do more.
    pub act: String,
    /// To which: `recipe/honey-bavarois 3`, `draft/less-honey`.
    pub subject: String,
    /// What was said with it. May be empty.
    pub detail: String,
}

impl Wire for AuditRecord {
    type Pb = pb::AuditRecord;

    fn to_pb(&self) -> pb::AuditRecord {
        pb::AuditRecord {
            number: self.number,
            at_ms: self.at.0,
            by: self.by.clone(),
            role: self.role.map(|role| role.as_str().to_owned()).unwrap_or_default(),
            act: self.act.clone(),
            subject: self.subject.clone(),
            detail: self.detail.clone(),
        }
    }

    fn from_pb(record: pb::AuditRecord) -> Result<Self, Violation> {
        Ok(Self {
            number: record.number,
            at: moment(record.at_ms).at("at_ms")?,
            by: record.by,
            role: Role::parse(&record.role),
            act: record.act,
            subject: record.subject,
            detail: record.detail,
        })
    }
}
