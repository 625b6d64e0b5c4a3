//! From a status of gRPC to an error that says what to do.

use std::error::Error as StdError;
use std::time::Duration;

use chablon_wire::ERROR_DOMAIN;
use tonic::{Code, ConnectError, Status, TimeoutExpired};
use tonic_types::{ErrorDetails, StatusExt};

use crate::error::Kind;
use crate::{Error, FieldViolation, Reason};

/// No answer came within the deadline.
pub(super) fn timed_out(address: &str, after: Duration) -> Error {
    let message = format!("the hub at {address} didn't answer within {} s", after.as_secs_f32());
    Error::new(Kind::TimedOut, message).in_doubt(true)
}

/// A stream ended that has no end.
pub(super) fn broke_off(address: &str) -> Error {
    Error::new(Kind::Unavailable, format!("the hub at {address} broke off"))
}

/// What a status means.
///
/// A hub gives a reason with every refusal. A status without one comes from the connection, or from
/// something between: nobody knows then what became of the call, unless it was never sent.
pub(super) fn sorted(status: Status, address: &str) -> Error {
    let details = status.get_error_details();
    match details.error_info() {
        Some(info) if info.domain == ERROR_DOMAIN => refused(&status, &details),
        _ => on_the_way(status, address),
    }
}

fn refused(status: &Status, details: &ErrorDetails) -> Error {
    let info = details.error_info();
    let reason = info.and_then(|info| Reason::parse(&info.reason));
    let kind = match (reason, status.code()) {
        (Some(Reason::NotComputable), _) => Kind::NotComputable,
        (Some(Reason::NameMissing), _) | (_, Code::InvalidArgument) => Kind::Invalid,
        // Trying again at once would only be one more try.
        (Some(Reason::TooManyGuesses), _) | (_, Code::Unauthenticated | Code::PermissionDenied) => {
            Kind::Denied
        }
        (_, Code::NotFound) => Kind::NotFound,
        (_, Code::AlreadyExists | Code::Aborted) => Kind::Conflict,
        (_, Code::FailedPrecondition | Code::OutOfRange) => Kind::Precondition,
        (_, Code::Unimplemented) => Kind::Unsupported,
        (_, Code::DeadlineExceeded) => Kind::TimedOut,
        (_, Code::Unavailable | Code::ResourceExhausted | Code::Cancelled) => Kind::Unavailable,
        (_, Code::DataLoss) => Kind::Damaged,
        _ => Kind::Unexpected,
    };
    let in_doubt = matches!(kind, Kind::Unavailable | Kind::TimedOut | Kind::Unexpected);
    let violations = details.bad_request().map(|bad| &bad.field_violations[..]).unwrap_or_default();
    let violations =
        violations.iter().map(|one| FieldViolation::new(&one.field, &one.description)).collect();
    Error::new(kind, status.message().to_owned())
        .with_reason(reason)
        .with_details(info.map(|info| info.metadata.clone()).unwrap_or_default())
        .with_violations(violations)
        .in_doubt(in_doubt)
}

fn on_the_way(status: Status, address: &str) -> Error {
    let cause = root(&status).unwrap_or_else(|| status.message().to_owned());
    if causes(&status).iter().any(|cause| cause.is::<TimeoutExpired>()) {
        let message = format!("the hub at {address} didn't answer in time");
        return Error::new(Kind::TimedOut, message).in_doubt(true).with_source(status);
    }
    if is_connect(&status) {
        let message = format!("the hub at {address} can't be reached: {cause}");
        return Error::new(Kind::Unavailable, message).with_source(status);
    }
    let (kind, what) = match status.code() {
        Code::DeadlineExceeded => (Kind::TimedOut, "didn't answer in time"),
        Code::Unimplemented => (Kind::Unsupported, "doesn't know this call"),
        Code::Unavailable
        | Code::Unknown
        | Code::Internal
        | Code::Cancelled
        | Code::Aborted
        | Code::ResourceExhausted => (Kind::Unavailable, "was cut off"),
        _ => (Kind::Unexpected, "answered what no hub answers"),
    };
    let in_doubt = kind != Kind::Unsupported;
    Error::new(kind, format!("the hub at {address} {what}: {cause}"))
        .in_doubt(in_doubt)
        .with_source(status)
}

fn causes(status: &Status) -> Vec<&(dyn StdError + 'static)> {
    let mut causes = Vec::new();
    let mut next = status.source();
    while let Some(cause) = next {
        causes.push(cause);
        next = cause.source();
    }
    causes
}

/// The innermost cause, which names the network's own trouble.
fn root(status: &Status) -> Option<String> {
    causes(status).last().map(ToString::to_string)
}

/// Whether no connection could be made, so that nothing was sent.
fn is_connect(status: &Status) -> bool {
    causes(status).iter().any(|cause| cause.is::<ConnectError>())
}

#[cfg(test)]
mod tests {
    use std::collections::HashMap;

    use chablon_wire::ERROR_DOMAIN;
    use test_case::test_case;
    use tonic::{Code, Status};
    use tonic_types::{ErrorDetails, StatusExt};

    use super::sorted;
    use crate::{Error, Reason};

    fn by_the_hub(code: Code, reason: &str) -> Error {
        let metadata = HashMap::from([("document".to_owned(), "recipe/custard".to_owned())]);
        let mut details = ErrorDetails::with_error_info(reason, ERROR_DOMAIN, metadata);
        details.add_bad_request_violation("note", "is required");
        sorted(Status::with_error_details(code, "it is so", details), "http://hub.example")
    }

    #[test_case(Code::InvalidArgument, "INVALID_REQUEST", Error::is_invalid)]
    #[test_case(Code::Unauthenticated, "NOT_AUTHENTICATED", Error::is_denied)]
    #[test_case(Code::PermissionDenied, "NOT_ALLOWED", Error::is_denied)]
    #[test_case(Code::ResourceExhausted, "TOO_MANY_GUESSES", Error::is_denied)]
    #[test_case(Code::NotFound, "SITE_NOT_FOUND", Error::is_not_found)]
    #[test_case(Code::Aborted, "REVISION_CONFLICT", Error::is_conflict)]
    #[test_case(Code::AlreadyExists, "REQUEST_ID_REUSED", Error::is_conflict)]
    #[test_case(Code::FailedPrecondition, "WRONG_EPOCH", Error::is_precondition)]
    #[test_case(Code::OutOfRange, "FUTURE_POSITION", Error::is_precondition)]
    #[test_case(Code::FailedPrecondition, "NOT_COMPUTABLE", Error::is_not_computable)]
    #[test_case(Code::Unimplemented, "UNSUPPORTED_FEATURE", Error::is_unsupported)]
    #[test_case(Code::DataLoss, "STORE_DAMAGED", Error::is_damaged)]
    fn a_refusal_is_settled(code: Code, reason: &str, is: fn(&Error) -> bool) {
        let error = by_the_hub(code, reason);
        assert!(is(&error), "{error:?}");
        assert!(!error.may_retry() && !error.outcome_unknown(), "{error:?}");
        assert_eq!(error.reason(), Reason::parse(reason));
        assert_eq!(
            (error.to_string().as_str(), error.detail("document")),
            ("it is so", Some("recipe/custard"))
        );
        assert_eq!(error.violations()[0].field, "note");
    }

    #[test_case(Code::Unavailable, "SHUTTING_DOWN")]
    #[test_case(Code::ResourceExhausted, "TOO_MANY_STREAMS")]
    fn a_hub_may_ask_to_come_back(code: Code, reason: &str) {
        assert!(by_the_hub(code, reason).may_retry());
    }

    #[test]
    fn a_reason_from_the_future_is_left_out() {
        let error = by_the_hub(Code::NotFound, "SOMETHING_NEW");
        assert_eq!((error.reason(), error.is_not_found()), (None, true));
    }

    #[test_case(Code::Unknown; "unknown")]
    #[test_case(Code::Unavailable; "unavailable")]
    #[test_case(Code::Internal; "internal")]
    #[test_case(Code::Cancelled; "cancelled")]
    fn without_a_reason_nothing_is_known(code: Code) {
        let error = sorted(Status::new(code, "broken pipe"), "http://hub.example");
        assert!(error.may_retry() && error.outcome_unknown(), "{error:?}");
        assert!(error.to_string().contains("http://hub.example"), "{error}");
    }

    #[test]
    fn what_is_not_spoken_is_not_tried_again() {
        let error = sorted(Status::unimplemented("no such service"), "http://hub.example");
        assert!(error.is_unsupported() && !error.may_retry() && !error.outcome_unknown());
    }
}
