//! A group's food-safety plan: whose published limits count, its own limits, and what needs none.

use std::collections::BTreeMap;

use chablon_quantity::{Authored, TemperatureUnit, TimeUnit};

use crate::RecipeId;
use crate::ingredient::named;

named!(
    /// Who publishes limits.
    Jurisdiction {
        /// The European Union.
        EuropeanUnion "eu",
        /// France.
        France "fr",
        /// The United Kingdom.
        UnitedKingdom "uk",
        /// The FDA Food Code, a model that states and counties of the United States adopt.
        UsFoodCode "us",
    }
);

named!(
    /// What a limit is for.
    ControlRole {
        /// The first stage of cooling.
        CoolFirst "cool-first",
        /// Cooling in all.
        CoolTotal "cool-total",
        /// Hot holding.
        Hot "hot-holding",
        /// Cold holding.
        Cold "cold-holding",
        /// Between cold and hot.
        Between "between-cold-and-hot",
        /// Heating of egg.
        Egg "egg-heating",
        /// How long it is kept chilled.
        Chilled "chilled-life",
        /// Frozen storage.
        Frozen "frozen-storage",
    }
);

/// A group's food-safety plan, as far as it departs from what is published.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ControlSettings {
    /// Whose published limits count; those that go with the first label regime where unstated.
    pub published: Option<Jurisdiction>,
    /// The group's own limits, by what they are for.
    pub limits: BTreeMap<ControlRole, OwnLimit>,
    /// The recipes that need no temperature control, each with the reason.
    pub exempt: BTreeMap<RecipeId, String>,
}

/// A limit of the group's own.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnLimit {
    /// The limit, of the kind that its role takes.
    pub bound: ControlBound,
    /// Why: the plan or study that it is from. Must say something.
    pub reason: String,
}

/// A limit as it is authored.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ControlBound {
    /// At most this warm.
    AtMost(Authored<TemperatureUnit>),
    /// At least this warm.
    AtLeast(Authored<TemperatureUnit>),
    /// At least this warm for so long.
    Heat {
        /// The temperature.
        at_least: Authored<TemperatureUnit>,
        /// How long it is held.
        held: Authored<TimeUnit>,
    },
    /// From one temperature to a lower one within a time.
    Cool {
        /// From where the time counts.
        from: Authored<TemperatureUnit>,
        /// What must be reached.
        to: Authored<TemperatureUnit>,
        /// The time.
        within: Authored<TimeUnit>,
    },
    /// No longer than this.
    Within(Authored<TimeUnit>),
}

/// The kinds of limits.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoundKind {
    /// [`ControlBound::AtMost`].
    AtMost,
    /// [`ControlBound::AtLeast`].
    AtLeast,
    /// [`ControlBound::Heat`].
    Heat,
    /// [`ControlBound::Cool`].
    Cool,
    /// [`ControlBound::Within`].
    Within,
}

impl Jurisdiction {
    /// Its name for people.
    pub fn title(self) -> &'static str {
        match self {
            Self::UsFoodCode => "United States (FDA Food Code)",
            Self::France => "France",
            Self::UnitedKingdom => "United Kingdom",
            Self::EuropeanUnion => "European Union",
        }
    }
}

impl ControlRole {
    /// The kind of its limit.
    pub fn kind(self) -> BoundKind {
        match self {
            Self::CoolFirst | Self::CoolTotal => BoundKind::Cool,
            Self::Hot => BoundKind::AtLeast,
            Self::Cold | Self::Frozen => BoundKind::AtMost,
            Self::Between | Self::Chilled => BoundKind::Within,
            Self::Egg => BoundKind::Heat,
        }
    }
}

impl ControlBound {
    /// Its kind.
    pub fn kind(&self) -> BoundKind {
        match self {
            Self::AtMost(_) => BoundKind::AtMost,
            Self::AtLeast(_) => BoundKind::AtLeast,
            Self::Heat { .. } => BoundKind::Heat,
            Self::Cool { .. } => BoundKind::Cool,
            Self::Within(_) => BoundKind::Within,
        }
    }
}

impl ControlSettings {
    /// Whether nothing is said.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }
}
