//! The limits that hold: published ones, or a group's own with its reason.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{Book, ControlBound, ControlRole as Role, Jurisdiction, LabelRegime, RecipeId};
use chablon_quantity::{Authored, Exact, Number, Seconds, TemperatureUnit, TimeUnit};

use super::points::{Limit, POINTS, Point};

/// The key of the published point that a jurisdiction has for a role.
fn point(of: Jurisdiction, role: Role) -> Option<&'static str> {
    match (of, role) {
        (Jurisdiction::UsFoodCode, Role::CoolFirst) => Some("us-cool-first"),
        (Jurisdiction::UsFoodCode, Role::CoolTotal) => Some("us-cool-total"),
        (Jurisdiction::UsFoodCode, Role::Hot) => Some("us-hot"),
        (Jurisdiction::UsFoodCode, Role::Cold) => Some("us-cold"),
        (Jurisdiction::UsFoodCode, Role::Between) => Some("us-time"),
        (Jurisdiction::UsFoodCode, Role::Egg) => Some("us-egg-pooled"),
        (Jurisdiction::UsFoodCode, Role::Chilled) => Some("us-date"),
        (Jurisdiction::France, Role::CoolFirst) => Some("fr-cool"),
        (Jurisdiction::France, Role::Hot) => Some("fr-hot"),
        (Jurisdiction::France, Role::Cold) => Some("fr-cold"),
        (Jurisdiction::France, Role::Chilled) => Some("fr-date"),
        (Jurisdiction::France, Role::Frozen) => Some("fr-frozen"),
        (Jurisdiction::UnitedKingdom, Role::Cold) => Some("uk-cold"),
        (Jurisdiction::UnitedKingdom, Role::Hot) => Some("uk-hot"),
        (Jurisdiction::UnitedKingdom, Role::Between) => Some("uk-time"),
        _ => None,
    }
}

/// A limit that holds, and by whose word.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Applied {
    /// The limit.
    pub limit: Limit,
    /// What it is for.
    pub what: &'static str,
    /// Whose it is; nothing where it is the group's own.
    pub jurisdiction: Option<Jurisdiction>,
    /// Where it is published, or the group's reason.
    pub source: String,
    /// Whether it is from memory of its source.
    pub from_memory: bool,
}

impl From<&Point> for Applied {
    fn from(point: &Point) -> Self {
        Self {
            limit: point.limit,
            what: point.what,
            jurisdiction: Some(point.jurisdiction),
            source: point.source.to_owned(),
            from_memory: point.from_memory,
        }
    }
}

/// The limits that recipes are held to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ControlPlan {
    limits: BTreeMap<Role, Applied>,
    exempt: BTreeMap<RecipeId, String>,
}

impl ControlPlan {
    /// The limits that a jurisdiction publishes.
    pub fn published(of: Jurisdiction) -> Self {
        let applied = |role: Role| {
            let key = point(of, role)?;
            let point = POINTS.iter().find(|point| point.key == key)?;
            Some((role, Applied::from(point)))
        };
        let limits = Role::ALL.iter().copied().filter_map(applied).collect();
        Self { limits, exempt: BTreeMap::new() }
    }

    /// The plan of a group: its own limits, then those that are published by whom it names, or
    /// by whom is asked for here.
    ///
    /// Whoever publishes limits leaves some open (the European Union leaves most to its members).
    /// There those of the FDA Food Code stand in, and each says that it is theirs.
    pub fn of_group(group: &Book, published: Option<Jurisdiction>) -> Self {
        let whose = published.or(group.control.published).unwrap_or_else(|| by_label(group));
        let mut plan = Self::published(Jurisdiction::UsFoodCode);
        plan.limits.extend(Self::published(whose).limits);
        for (role, own) in &group.control.limits {
            plan.limits.insert(*role, Applied::own(&own.bound, &own.reason));
        }
        plan.exempt = group.control.exempt.clone();
        plan
    }

    /// The limits, by what they are for.
    pub fn limits(&self) -> &BTreeMap<Role, Applied> {
        &self.limits
    }

    /// What no limit is known for, and so isn't checked.
    pub fn unchecked(&self) -> BTreeSet<Role> {
        Role::ALL.iter().copied().filter(|role| !self.limits.contains_key(role)).collect()
    }

    /// Why a recipe needs no temperature control, where the plan says so.
    pub fn exemption(&self, recipe: &RecipeId) -> Option<&str> {
        self.exempt.get(recipe).map(String::as_str)
    }

    pub(super) fn limit(&self, role: Role) -> Option<&Applied> {
        self.limits.get(&role)
    }

    /// The temperature of a limit that has one.
    pub(super) fn celsius(&self, role: Role) -> Option<Exact> {
        match self.limit(role)?.limit {
            Limit::AtMost(celsius) | Limit::AtLeast(celsius) | Limit::Heat { celsius, .. } => {
                Some(celsius.exact())
            }
            _ => None,
        }
    }
}

/// The published limits that go with a group's first label regime.
fn by_label(group: &Book) -> Jurisdiction {
    match group.labels.first() {
        Some(LabelRegime::Us) => Jurisdiction::UsFoodCode,
        Some(LabelRegime::Eu) | None => Jurisdiction::EuropeanUnion,
    }
}

impl Applied {
    fn own(bound: &ControlBound, reason: &str) -> Self {
        Self {
            limit: limit(bound),
            what: "the group's own plan",
            jurisdiction: None,
            source: reason.to_owned(),
            from_memory: false,
        }
    }
}

/// An authored limit in degrees Celsius, minutes and seconds.
fn limit(bound: &ControlBound) -> Limit {
    let seconds = |time: &Authored<TimeUnit>| time.quantity().seconds();
    let minutes = |time: &Authored<TimeUnit>| number(&(seconds(time) / Exact::from(60)));
    let celsius = |degrees: &Authored<TemperatureUnit>| number(&degrees.quantity().celsius());
    match bound {
        ControlBound::AtMost(most) => Limit::AtMost(celsius(most)),
        ControlBound::AtLeast(least) => Limit::AtLeast(celsius(least)),
        ControlBound::Within(time) => Limit::Within(minutes(time)),
        ControlBound::Heat { at_least, held } => {
            Limit::Heat { celsius: celsius(at_least), seconds: number(&seconds(held)) }
        }
        ControlBound::Cool { from, to, within } => Limit::Cool {
            from: celsius(from),
            to: celsius(to),
            within: minutes(within),
            strictly: false,
        },
    }
}

/// An exact figure as a number of a table.
///
/// Authored temperatures and times have at most 18 digits and small factors, so that either the
/// decimal or the fraction holds them; what is beyond it all would be no limit of a kitchen.
fn number(exact: &Exact) -> Number {
    let decimal = |exponent: i8| {
        let scale = Exact::from(10_i64.pow(exponent.unsigned_abs().into()));
        let (coefficient, rest) = (exact * scale).parts()?;
        let coefficient = i64::try_from(coefficient).ok().filter(|_| rest == 1)?;
        Number::decimal(coefficient, exponent)
    };
    if let Some(decimal) = [0, -1, -2, -3].into_iter().find_map(decimal) {
        return decimal;
    }
    let whole = |part: i128| i64::try_from(part).ok();
    let parts =
        exact.parts().and_then(|(top, bottom)| Some((whole(top)?, u64::try_from(bottom).ok()?)));
    let (numerator, denominator) = parts.unwrap_or((i64::MAX, 1));
    Number::Fraction { whole: 0, numerator, denominator }
}
