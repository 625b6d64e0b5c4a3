//! What can go wrong, and what a caller may do about it.

use std::borrow::Cow;
use std::collections::BTreeMap;
use std::error::Error as StdError;
use std::fmt;

mod from;
mod reason;

pub use reason::Reason;

use chablon_trust::TrustError;
use chablon_wire::TakenBack;

/// Why something was not done.
///
/// What it is stays hidden, so that it may grow; ask what you can act on:
///
/// - [`may_retry`](Self::may_retry): the same call may succeed later. The client has tried already.
/// - [`outcome_unknown`](Self::outcome_unknown): the change may have been made. Send it again with
///   the same request id.
/// - [`is_conflict`](Self::is_conflict): somebody else was first. Prepare the release anew.
/// - [`is_invalid`](Self::is_invalid): correct what [`violations`](Self::violations) point at.
/// - [`is_denied`](Self::is_denied): join the hub, or ask whoever may do it.
/// - [`is_not_found`](Self::is_not_found): there is no such thing, or it may not be read.
/// - [`stopped`](Self::stopped): the standard was withdrawn. Don't make it.
/// - [`is_damaged`](Self::is_damaged): stored or sent bytes have changed. Rebuild the replica, or
///   restore the hub.
///
/// After a timeout, or a connection that broke, nothing is known of a call that had been sent: the
/// hub may have done all of it, or nothing. It never did a part. For calls that only read that
/// doesn't matter. Releases and withdrawals carry a request id for it: sent again with the same
/// id, the answer is that of the first.
pub struct Error(Box<Inner>);

struct Inner {
    kind: Kind,
    message: Cow<'static, str>,
    reason: Option<Reason>,
    details: BTreeMap<String, String>,
    violations: Vec<FieldViolation>,
    in_doubt: bool,
    source: Option<Box<dyn StdError + Send + Sync>>,
}

/// What an error is, as far as a caller acts on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Kind {
    /// What was asked is wrong in itself.
    Invalid,
    /// There is no such thing, or the reader may not see it.
    NotFound,
    /// Whoever calls isn't let in, or may not do this.
    Denied,
    /// Somebody else changed it first, or the name is taken.
    Conflict,
    /// It isn't possible as things stand.
    Precondition,
    /// Written by something newer than this reader, or the other way round.
    Unsupported,
    /// Nobody answers, or not now.
    Unavailable,
    /// No answer came in time.
    TimedOut,
    /// Bytes are not what they were.
    Damaged,
    /// What a hub shows isn't vouched for by those that the replica trusts.
    Untrusted(Box<TrustError>),
    /// The standard is withdrawn.
    Stopped(Box<TakenBack>),
    /// The figure can't be computed.
    NotComputable,
    /// The other side broke the contract.
    Unexpected,
}

/// What is wrong in one field.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct FieldViolation {
    /// Where: `recipe.lines[2].amount.mass.unit`.
    pub field: String,
    /// What, for people.
    pub description: String,
}

impl FieldViolation {
    pub(crate) fn new(field: impl Into<String>, description: impl Into<String>) -> Self {
        Self { field: field.into(), description: description.into() }
    }
}

impl Error {
    pub(crate) fn new(kind: Kind, message: impl Into<Cow<'static, str>>) -> Self {
        Self(Box::new(Inner {
            kind,
            message: message.into(),
            reason: None,
            details: BTreeMap::new(),
            violations: Vec::new(),
            in_doubt: false,
            source: None,
        }))
    }

    pub(crate) fn with_reason(mut self, reason: Option<Reason>) -> Self {
        self.0.reason = reason;
        self
    }

    pub(crate) fn with_details(
        mut self,
        details: impl IntoIterator<Item = (String, String)>,
    ) -> Self {
        self.0.details.extend(details);
        self
    }

    pub(crate) fn with_violations(mut self, violations: Vec<FieldViolation>) -> Self {
        self.0.violations = violations;
        self
    }

    pub(crate) fn with_source(
        mut self,
        source: impl Into<Box<dyn StdError + Send + Sync>>,
    ) -> Self {
        self.0.source = Some(source.into());
        self
    }

    /// Says whether the change that failed so may have been made nevertheless.
    pub(crate) fn in_doubt(mut self, in_doubt: bool) -> Self {
        self.0.in_doubt = in_doubt;
        self
    }

    /// Whether the same call may succeed later, unchanged. The client has tried as often as its
    /// options say before it gives such an error.
    pub fn may_retry(&self) -> bool {
        matches!(self.0.kind, Kind::Unavailable | Kind::TimedOut)
    }

    /// Whether a change may have been made although it failed. Send it again with the same request
    /// id: it is made once at most, and the answer tells.
    pub fn outcome_unknown(&self) -> bool {
        self.0.in_doubt
    }

    /// Whether no answer came in time.
    pub fn is_timeout(&self) -> bool {
        self.0.kind == Kind::TimedOut
    }

    /// Whether nobody answered, or the hub asked to come back later.
    pub fn is_unavailable(&self) -> bool {
        self.0.kind == Kind::Unavailable
    }

    /// Whether what was asked is wrong in itself; [`violations`](Self::violations) say where.
    pub fn is_invalid(&self) -> bool {
        self.0.kind == Kind::Invalid
    }

    /// Whether there is no such thing, or it may not be read: the two aren't told apart.
    pub fn is_not_found(&self) -> bool {
        self.0.kind == Kind::NotFound
    }

    /// Whether whoever calls isn't let in, or may not do this; the [`reason`](Self::reason) says
    /// which, the message who may.
    pub fn is_denied(&self) -> bool {
        self.0.kind == Kind::Denied
    }

    /// Whether somebody else was first: read again, compare, and ask anew.
    pub fn is_conflict(&self) -> bool {
        self.0.kind == Kind::Conflict
    }

    /// Whether it isn't possible as things stand; the [`reason`](Self::reason) says what would have
    /// to change.
    pub fn is_precondition(&self) -> bool {
        matches!(self.0.kind, Kind::Precondition | Kind::Stopped(_) | Kind::NotComputable)
    }

    /// Whether one side is too old for the other.
    pub fn is_unsupported(&self) -> bool {
        self.0.kind == Kind::Unsupported
    }

    /// Whether bytes, sent or stored, are no longer what they were.
    pub fn is_damaged(&self) -> bool {
        self.0.kind == Kind::Damaged
    }

    /// Which rule of trust is broken, where what a hub or a bundle shows isn't vouched for by those
    /// whom the replica trusts. Nothing of it was taken, and what is held goes on being good. Tell
    /// whoever runs the hub, and the chef.
    pub fn untrusted(&self) -> Option<&TrustError> {
        match &self.0.kind {
            Kind::Untrusted(error) => Some(error),
            _ => None,
        }
    }

    /// Whether the figure can't be computed: the message names recipe and line and what is missing.
    pub fn is_not_computable(&self) -> bool {
        self.0.kind == Kind::NotComputable
    }

    /// The withdrawal that stopped the standard, if that is why.
    pub fn stopped(&self) -> Option<&TakenBack> {
        match &self.0.kind {
            Kind::Stopped(taken_back) => Some(taken_back),
            _ => None,
        }
    }

    /// Why the hub refused, by the name that the schema gives it.
    pub fn reason(&self) -> Option<Reason> {
        self.0.reason
    }

    /// A detail that goes with the reason, such as `document`.
    pub fn detail(&self, name: &str) -> Option<&str> {
        self.0.details.get(name).map(String::as_str)
    }

    /// What is wrong in which field of what was asked.
    pub fn violations(&self) -> &[FieldViolation] {
        &self.0.violations
    }

    /// Puts what was attempted before the message.
    pub(crate) fn while_doing(mut self, what: impl fmt::Display) -> Self {
        self.0.message = format!("{what}: {}", self.0.message).into();
        self
    }
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0.message)
    }
}

impl fmt::Debug for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Error")
            .field("kind", &self.0.kind)
            .field("message", &self.0.message)
            .field("reason", &self.0.reason)
            .field("details", &self.0.details)
            .field("violations", &self.0.violations)
            .field("outcome_unknown", &self.0.in_doubt)
            .field("source", &self.0.source)
            .finish()
    }
}

impl StdError for Error {
    fn source(&self) -> Option<&(dyn StdError + 'static)> {
        self.0.source.as_deref().map(|source| source as &(dyn StdError + 'static))
    }
}
