//! Codes by which accounts are joined.

use chablon_model::{ActorName, Digest, Moment, Role, SiteId};

use super::{Account, NewToken};
use crate::{Act, Actor, AuditRecord, EnrolmentId, Request};

/// How often a wrong code may be tried for an enrolment before it is void.
pub const MAX_FAILURES: u32 = 5;

/// A code to be kept, and the account that it is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NewEnrolment {
    /// Which request this is.
    pub request: Request,
    /// When the hub took it.
    pub at: Moment,
    /// Who lets them in.
    pub by: Actor,
    /// The account's name.
    pub name: ActorName,
    /// Its role.
    pub role: Role,
    /// Its site, as the role wants it.
    pub site: Option<SiteId>,
    /// The code's name.
    pub enrolment: EnrolmentId,
    /// The digest of the code's secret.
    pub code_digest: Digest,
    /// The moment from which the code is no longer good.
    pub expires_at: Moment,
    /// The moment from which the token is no longer good that is got by it, if there is one.
    pub token_expires_at: Option<Moment>,
}

impl NewEnrolment {
    /// What the log says of it.
    pub fn record(&self) -> AuditRecord {
        let Self { role, site, .. } = self;
        AuditRecord {
            at: self.at,
            by: self.by.clone(),
            act: Act::Invite,
            subject: format!("account/{}", self.name),
            detail: site.as_ref().map_or_else(|| role.to_string(), |at| format!("{role} at {at}")),
        }
    }
}

/// A code as it is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Enrolment {
    /// The digest of the code's secret.
    pub code_digest: Digest,
    /// The moment from which it is no longer good.
    pub expires_at: Moment,
    /// How often a wrong one was tried.
    pub failures: u32,
    /// The token for which it was spent, with its digest.
    pub spent_for: Option<NewToken>,
}

/// An attempt to join by a code.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Attempt {
    /// When the hub took it.
    pub at: Moment,
    /// The code's name.
    pub enrolment: EnrolmentId,
    /// The digest of the secret that was sent.
    pub code_digest: Digest,
    /// The token to be kept.
    pub token: NewToken,
}

impl Attempt {
    /// What the log says of it once it has let the account in.
    pub fn record(&self, account: &Account) -> AuditRecord {
        AuditRecord {
            at: self.at,
            by: Actor { name: account.name.to_string(), role: Some(account.role) },
            act: Act::Join,
            subject: format!("account/{}", account.name),
            detail: format!("token {}", self.token.id),
        }
    }
}

impl Enrolment {
    /// Whether the code may still be used, but for its age.
    pub fn is_open(&self) -> bool {
        self.spent_for.is_none() && self.failures < MAX_FAILURES
    }
}
