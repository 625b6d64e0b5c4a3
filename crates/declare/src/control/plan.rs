//! The limits that hold: published ones, or a group's own with its reason.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::RecipeId;
use chablon_quantity::Exact;

use super::points::{Jurisdiction, Limit, POINTS, Point};

/// What a limit is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Role {
    /// The first stage of cooling.
    CoolFirst,
    /// Cooling in all.
    CoolTotal,
    /// Hot holding.
    Hot,
    /// Cold holding.
    Cold,
    /// Between cold and hot.
    Between,
    /// Heating of egg.
    Egg,
    /// How long it is kept chilled.
    Chilled,
    /// Frozen storage.
    Frozen,
}

impl Role {
    /// Every one.
    pub const ALL: [Self; 8] = [
        Self::CoolFirst,
        Self::CoolTotal,
        Self::Hot,
        Self::Cold,
        Self::Between,
        Self::Egg,
        Self::Chilled,
        Self::Frozen,
    ];

    /// A key that doesn't change.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::CoolFirst => "cool-first",
            Self::CoolTotal => "cool-total",
            Self::Hot => "hot-holding",
            Self::Cold => "cold-holding",
            Self::Between => "between-cold-and-hot",
            Self::Egg => "egg-heating",
            Self::Chilled => "chilled-life",
            Self::Frozen => "frozen-storage",
        }
    }

    /// The key of the published point that a jurisdiction has for it.
    fn point(self, of: Jurisdiction) -> Option<&'static str> {
        match (of, self) {
            (Jurisdiction::UsFoodCode, Self::CoolFirst) => Some("us-cool-first"),
            (Jurisdiction::UsFoodCode, Self::CoolTotal) => Some("us-cool-total"),
            (Jurisdiction::UsFoodCode, Self::Hot) => Some("us-hot"),
            (Jurisdiction::UsFoodCode, Self::Cold) => Some("us-cold"),
            (Jurisdiction::UsFoodCode, Self::Between) => Some("us-time"),
            (Jurisdiction::UsFoodCode, Self::Egg) => Some("us-egg-pooled"),
            (Jurisdiction::UsFoodCode, Self::Chilled) => Some("us-date"),
            (Jurisdiction::France, Self::CoolFirst) => Some("fr-cool"),
            (Jurisdiction::France, Self::Hot) => Some("fr-hot"),
            (Jurisdiction::France, Self::Cold) => Some("fr-cold"),
            (Jurisdiction::France, Self::Chilled) => Some("fr-date"),
            (Jurisdiction::France, Self::Frozen) => Some("fr-frozen"),
            (Jurisdiction::UnitedKingdom, Self::Cold) => Some("uk-cold"),
            (Jurisdiction::UnitedKingdom, Self::Hot) => Some("uk-hot"),
            (Jurisdiction::UnitedKingdom, Self::Between) => Some("uk-time"),
            _ => None,
        }
    }

    /// Whether a limit is of the kind that this is about.
    fn takes(self, limit: &Limit) -> bool {
        match self {
            Self::CoolFirst | Self::CoolTotal => matches!(limit, Limit::Cool { .. }),
            Self::Hot => matches!(limit, Limit::AtLeast(_)),
            Self::Cold | Self::Frozen => matches!(limit, Limit::AtMost(_)),
            Self::Between | Self::Chilled => matches!(limit, Limit::Within(_)),
            Self::Egg => matches!(limit, Limit::Heat { .. }),
        }
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

/// Why a group's own limit isn't taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PlanError {
    /// Nobody says why.
    #[error("a limit of one's own needs a reason: name the food-safety plan that it is from")]
    NoReason,
    /// It is of another kind.
    #[error("the limit for {} is of another kind", .0.as_str())]
    OtherKind(Role),
}

impl ControlPlan {
    /// The limits that a jurisdiction publishes.
    pub fn published(of: Jurisdiction) -> Self {
        let applied = |role: Role| {
            let key = role.point(of)?;
            let point = POINTS.iter().find(|point| point.key == key)?;
            Some((role, Applied::from(point)))
        };
        let limits = Role::ALL.into_iter().filter_map(applied).collect();
        Self { limits, exempt: BTreeMap::new() }
    }

    /// Sets a limit of the group's own plan, with the reason for it.
    pub fn set(&mut self, role: Role, limit: Limit, reason: &str) -> Result<(), PlanError> {
        let source = reasoned(reason)?;
        if !role.takes(&limit) {
            return Err(PlanError::OtherKind(role));
        }
        let applied = Applied {
            limit,
            what: "the group's own plan",
            jurisdiction: None,
            source,
            from_memory: false,
        };
        self.limits.insert(role, applied);
        Ok(())
    }

    /// Says that a recipe needs no temperature control, with the reason: baked through, acid, dry,
    /// as an assessment of the product found.
    pub fn exempt(&mut self, recipe: RecipeId, reason: &str) -> Result<(), PlanError> {
        self.exempt.insert(recipe, reasoned(reason)?);
        Ok(())
    }

    /// The limits, by what they are for.
    pub fn limits(&self) -> &BTreeMap<Role, Applied> {
        &self.limits
    }

    /// What no limit is known for, and so isn't checked.
    pub fn unchecked(&self) -> BTreeSet<Role> {
        Role::ALL.into_iter().filter(|role| !self.limits.contains_key(role)).collect()
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

fn reasoned(reason: &str) -> Result<String, PlanError> {
    let reason = reason.trim();
    if reason.is_empty() { Err(PlanError::NoReason) } else { Ok(reason.to_owned()) }
}
