//! What the client of a hub, or a replica, says when it can't.

use std::error::Error as _;

use chablon_arith::PlanError;
use chablon_sdk::{Error, FieldViolation, Reason};

use super::{Failure, Kind};

impl Failure {
    /// An error with what doesn't come of it: `..., so nothing was released`.
    pub(crate) fn of(error: &Error, so: &str) -> Self {
        let reason = reason(error);
        // What ends in advice, or names what isn't there, needs no conclusion.
        let concluded = if error.is_not_found() || reason.contains("; ") {
            reason
        } else {
            format!("{reason}, so {so}")
        };
        let failure = Self::new(kind(error), concluded);
        error.violations().iter().fold(failure, violated).hint_if(hint(error))
    }

    /// A figure that isn't given, with what would mend it apart from the reason.
    pub(crate) fn of_figure(error: &Error) -> Self {
        match error.source().and_then(|source| source.downcast_ref::<PlanError>()) {
            Some(plan) => Self::refused(plan.to_string()).hint(plan.hint()),
            None => Self::new(kind(error), reason(error)).hint_if(hint(error)),
        }
    }
}

/// Adds what is wrong in which field, where the message doesn't say so already.
fn violated(failure: Failure, one: &FieldViolation) -> Failure {
    if failure.message.contains(&one.description) {
        return failure;
    }
    failure.hint(format!("`{}`: {}", one.field, one.description))
}

/// Whether a connection failed. Its error names the address; its causes say the same at length.
fn is_of_connection(error: &Error) -> bool {
    error.may_retry() && error.to_string().contains("://")
}

/// The message, with the causes that it doesn't repeat.
fn reason(error: &Error) -> String {
    let mut text = error.to_string();
    let mut cause = error.source().filter(|_| !is_of_connection(error));
    while let Some(below) = cause {
        let said = below.to_string();
        if !text.contains(&said) {
            text = format!("{text}: {said}");
        }
        cause = below.source();
    }
    text
}

fn kind(error: &Error) -> Kind {
    let hub = error.may_retry() || error.is_damaged() || error.is_unsupported();
    if hub { Kind::Hub } else { Kind::User }
}

fn hint(error: &Error) -> Option<&'static str> {
    if error.outcome_unknown() {
        Some("it isn't known whether it was recorded: see `chablon standards` before you try again")
    } else if is_of_connection(error) {
        Some(
            "see that the hub runs (`chablon hub serve`) and that its address is right, then try again",
        )
    } else if error.may_retry() {
        Some("see that its disk has room and that nobody else holds the file, then try again")
    } else if error.reason() == Some(Reason::NotAuthenticated) {
        Some(
            "join the hub with `chablon join URL CODE`; a chef makes the code with `chablon access invite`",
        )
    } else if error.is_conflict() && error.reason().is_some_and(|why| why != Reason::NameTaken) {
        Some("look at what changed since, and try again")
    } else if error.is_unsupported() {
        Some("bring this program up to date")
    } else if error.is_damaged() {
        Some("take it anew from the hub with `chablon kitchen rebuild`")
    } else {
        None
    }
}
