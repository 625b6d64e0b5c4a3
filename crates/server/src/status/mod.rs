//! Refusals: from what went wrong to what a client is told. The only place where a code is chosen.

use std::collections::HashMap;
use std::fmt::Display;

use chablon_exchange::StoreFault;
use chablon_wire::pb::ErrorReason;
use chablon_wire::{ERROR_DOMAIN, Violation, reason_text};
use tonic::{Code, Status};
use tonic_types::{ErrorDetails, StatusExt};

mod access;
mod adoption;
mod deviation;
mod draft;
mod feed;
mod figure;
mod lot;
mod read;
mod release;
mod trust;

/// How many broken rules are told at most, and how long their words are together.
///
/// A status travels in headers, of which clients commonly take 16 KiB. The message is in them
/// percent-encoded, at up to thrice its length, and once more among the details; these are in base64,
/// at four thirds. So 3 x 1 KiB + 4/3 (1 KiB + 4 KiB + 6 x 256 B) leave some 4 KiB for what frames them.
const MAX_VIOLATIONS: usize = 25;
const MAX_VIOLATION_BYTES: usize = 4096;

/// How long a message may be.
const MAX_MESSAGE_BYTES: usize = 1024;

/// How long a detail for programs may be; there are at most six.
const MAX_DETAIL_BYTES: usize = 256;

/// A call that isn't done, and why.
#[derive(Debug)]
pub(crate) struct Refusal {
    code: Code,
    reason: ErrorReason,
    message: String,
    metadata: Vec<(&'static str, String)>,
    violations: Vec<Violation>,
    /// Whether it is the hub that failed, and what the log should know besides.
    fault: Option<String>,
}

impl Refusal {
    pub(crate) fn new(code: Code, reason: ErrorReason, message: impl Display) -> Self {
        Self {
            code,
            reason,
            message: message.to_string(),
            metadata: Vec::new(),
            violations: Vec::new(),
            fault: None,
        }
    }

    /// With a detail that a program can act on.
    pub(crate) fn with(mut self, key: &'static str, value: impl Display) -> Self {
        self.metadata.push((key, shortened(value.to_string(), MAX_DETAIL_BYTES)));
        self
    }

    /// With the fields that break rules.
    pub(crate) fn at(mut self, violations: impl IntoIterator<Item = Violation>) -> Self {
        self.violations.extend(violations);
        self
    }

    pub(crate) fn reason(&self) -> &'static str {
        reason_text(self.reason)
    }

    /// What the log should know of a failure of the hub's own.
    pub(crate) fn fault(&self) -> Option<&str> {
        self.fault.as_deref()
    }

    pub(crate) fn invalid_page_token() -> Self {
        let message = "the page token isn't one for this request; start again without one";
        Self::new(Code::InvalidArgument, ErrorReason::InvalidPageToken, message)
    }

    pub(crate) fn too_many_streams(limit: usize) -> Self {
        let message = format!("{limit} streams are open, as many as are served; try again later");
        Self::new(Code::ResourceExhausted, ErrorReason::TooManyStreams, message)
            .with("limit", limit)
    }

    pub(crate) fn watcher_too_slow() -> Self {
        let message = "nothing was read for long, and others wait; go on from the last cursor";
        Self::new(Code::Unavailable, ErrorReason::WatcherTooSlow, message)
    }

    pub(crate) fn shutting_down() -> Self {
        let message = "the hub shuts down; go on from the last cursor, elsewhere or later";
        Self::new(Code::Unavailable, ErrorReason::ShuttingDown, message)
    }

    /// It could not be found out in time who calls.
    pub(crate) fn late() -> Self {
        let message = "the store doesn't answer in time; try again after a pause";
        Self::new(Code::Unavailable, ErrorReason::StoreUnavailable, message)
    }

    pub(crate) fn unknown_site(site: &impl Display, message: impl Display) -> Self {
        Self::new(Code::NotFound, ErrorReason::SiteNotFound, message).with("site", site)
    }

    pub(crate) fn too_large(limit: usize, size: usize, message: impl Display) -> Self {
        Self::new(Code::InvalidArgument, ErrorReason::TooLarge, message)
            .with("limit_bytes", limit)
            .with("size_bytes", size)
    }
}

impl From<Violation> for Refusal {
    fn from(violation: Violation) -> Self {
        Self::new(Code::InvalidArgument, ErrorReason::InvalidRequest, &violation).at([violation])
    }
}

impl From<StoreFault> for Refusal {
    fn from(fault: StoreFault) -> Self {
        let (code, reason, log) = match &fault {
            StoreFault::Damaged(what) => (Code::DataLoss, ErrorReason::StoreDamaged, what.clone()),
            StoreFault::Unavailable(source) => {
                (Code::Unavailable, ErrorReason::StoreUnavailable, chain(source.as_ref()))
            }
        };
        Self { fault: Some(log), ..Self::new(code, reason, fault) }
    }
}

/// An error with all its causes.
fn chain(error: &(dyn std::error::Error + 'static)) -> String {
    let causes = std::iter::successors(Some(error), |error| error.source());
    causes.map(ToString::to_string).collect::<Vec<_>>().join(": ")
}

impl From<Refusal> for Status {
    fn from(refusal: Refusal) -> Self {
        let Refusal { code, reason, message, metadata, violations, .. } = refusal;
        let metadata: HashMap<String, String> =
            metadata.into_iter().map(|(key, value)| (key.to_owned(), value)).collect();
        let info = ErrorDetails::with_error_info(reason_text(reason), ERROR_DOMAIN, metadata);
        let details = told(violations).into_iter().fold(info, |mut details, violation| {
            details.add_bad_request_violation(violation.path, violation.reason);
            details
        });
        Self::with_error_details(code, shortened(message, MAX_MESSAGE_BYTES), details)
    }
}

/// As many broken rules as a header bears.
fn told(violations: Vec<Violation>) -> Vec<Violation> {
    let mut room = MAX_VIOLATION_BYTES;
    let within = violations.into_iter().take(MAX_VIOLATIONS).map_while(|violation| {
        let (path, reason) = (shortened(violation.path, 256), shortened(violation.reason, 512));
        room = room.checked_sub(path.len() + reason.len())?;
        Some(Violation { path, reason })
    });
    within.collect()
}

fn shortened(mut text: String, max: usize) -> String {
    if text.len() > max {
        text.truncate(text.floor_char_boundary(max - '…'.len_utf8()));
        text.push('…');
    }
    text
}

#[cfg(test)]
mod tests {
    use chablon_wire::Violation;

    use super::{MAX_VIOLATION_BYTES, shortened, told};

    #[test]
    fn a_text_is_shortened_between_characters() {
        assert_eq!(shortened("crème".to_owned(), 6), "crème");
        assert_eq!(shortened("crèmes".to_owned(), 6), "cr…");
    }

    #[test]
    fn broken_rules_fit_a_header() {
        let long = Violation { path: "p".repeat(900), reason: "é".repeat(900) };
        let told = told(vec![long; 900]);
        let bytes: usize = told.iter().map(|one| one.path.len() + one.reason.len()).sum();
        assert!(!told.is_empty() && bytes <= MAX_VIOLATION_BYTES, "{bytes} bytes");
    }
}
