//! What a recipe states that a limit doesn't allow, or doesn't state.

use std::fmt;

use chablon_model::{RecipeId, StepId};
use chablon_quantity::{Exact, Number};

use super::Role;
use super::plan::Applied;
use super::points::Limit;

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Nothing is stated that could be held to the limit.
    Unstated,
    /// What is stated allows going beyond the limit.
    Risk,
    /// What is stated is beyond the limit.
    Breach,
}

impl Severity {
    /// Its name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Unstated => "unstated",
            Self::Risk => "risk",
            Self::Breach => "breach",
        }
    }
}

/// A finding, with the limit that it is about.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ControlFinding {
    /// The recipe.
    pub recipe: RecipeId,
    /// The step, where it is one.
    pub step: Option<StepId>,
    /// What the limit is for.
    pub role: Role,
    /// How much it weighs.
    pub severity: Severity,
    /// What is stated, or isn't.
    pub stated: String,
    /// The limit and by whose word it holds.
    pub limit: Applied,
}

/// Minutes for people: `45 min`, `12 h`, `12 h 30 min`.
pub(super) fn time(minutes: &Exact) -> String {
    let sixty = Exact::from(60);
    let hours = (minutes / &sixty).floor();
    let rest = minutes - &hours * sixty;
    match (hours.is_positive(), rest.is_positive()) {
        (false, _) => format!("{} min", rest.round(0)),
        (true, false) => format!("{hours} h"),
        (true, true) => format!("{hours} h {} min", rest.round(0)),
    }
}

/// Degrees as they are written in a table, and rounded where that is no decimal.
fn degrees(number: &Number) -> String {
    match number {
        Number::Decimal { .. } => number.to_string(),
        Number::Fraction { .. } => number.exact().round(1).to_string(),
    }
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AtMost(celsius) => write!(f, "at most {} °C", degrees(celsius)),
            Self::AtLeast(celsius) => write!(f, "at least {} °C", degrees(celsius)),
            Self::Heat { celsius, seconds } => {
                write!(f, "{} °C for {} s", degrees(celsius), degrees(seconds))
            }
            Self::Cool { from, to, within, strictly } => {
                let within_words = if *strictly { "in less than" } else { "within" };
                let within = time(&within.exact());
                write!(f, "from {} °C to {} °C {within_words} {within}", degrees(from), degrees(to))
            }
            Self::Within(minutes) => write!(f, "within {}", time(&minutes.exact())),
            Self::Instead(other) => write!(f, "{other} instead"),
        }
    }
}

impl fmt::Display for ControlFinding {
    /// `custard`, step `rest`: 12 h at 20 °C. Limit: within 4 h (..., 3-501.19)
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}`", self.recipe)?;
        if let Some(step) = &self.step {
            write!(f, ", step `{step}`")?;
        }
        let Applied { limit, what, jurisdiction, source, from_memory } = &self.limit;
        write!(f, ": {}. Limit: {limit}, {what} (", self.stated)?;
        if let Some(jurisdiction) = jurisdiction {
            write!(f, "{}, ", jurisdiction.title())?;
        }
        write!(f, "{source}{})", if *from_memory { ", from memory" } else { "" })
    }
}
