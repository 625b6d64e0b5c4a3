//! What the client of a hub, or a replica, says when it can't.

use std::error::Error as _;

use chablon_arith::PlanError;
use chablon_sdk::Error;

use super::{Failure, Kind};

impl Failure {
    /// An error with what doesn't come of it: `..., so nothing was released`.
    pub(crate) fn of(error: &Error, so: &str) -> Self {
        let failure = Self::new(kind(error), format!("{}, so {so}", reason(error)));
        let violations = error.violations().iter();
        violations
            .fold(failure, |failure, one| {
                failure.hint(format!("`{}`: {}", one.field, one.description))
            })
            .hint_if(hint(error))
    }

    /// A figure that isn't given, with what would mend it apart from the reason.
    pub(crate) fn of_figure(error: &Error) -> Self {
        match error.source().and_then(|source| source.downcast_ref::<PlanError>()) {
            Some(plan) => Self::refused(plan.to_string()).hint(plan.hint()),
            None => Self::new(kind(error), reason(error)).hint_if(hint(error)),
        }
    }
}

/// The message, with the causes that it doesn't repeat.
fn reason(error: &Error) -> String {
    let mut text = error.to_string();
    let mut cause = error.source();
    while let Some(below) = cause {
        let said = below.to_string();
        if !text.contains(&said) {
            text += &format!(": {said}");
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
        Some(
            "it isn't known whether it was recorded: see `chablon standards --hub URL` before you try again",
        )
    } else if error.may_retry() {
        Some(
            "see that the hub runs (`chablon hub serve`) and that its address is right, then try again",
        )
    } else if error.is_conflict() {
        Some("look at what changed since, and try again")
    } else if error.is_unsupported() {
        Some("bring this program up to date")
    } else if error.is_damaged() {
        Some("take it anew from the hub with `chablon kitchen rebuild`")
    } else {
        None
    }
}
