//! Deviations: a site's approved, dated departures from a standard.

use std::collections::BTreeSet;

use chablon_quantity::{Authored, Number, ShareUnit};

use crate::{
    Allergen, Amount, Control, DeviationId, IngredientId, Moment, RecipeId, RevisionRef, SiteId,
    StepId, Text, Uses,
};

/// A site's departure from a standard: asked for, and granted or refused.
///
/// It is made from one revision, and lies over that revision alone: when the standard beneath it
/// changes it is decided anew.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Deviation {
    /// The id.
    pub id: DeviationId,
    /// The site that departs.
    pub site: SiteId,
    /// The recipe's revision that it departs from.
    pub based_on: RevisionRef,
    /// How. Never empty, and nothing of the recipe twice.
    pub departures: Vec<Departure>,
    /// How far.
    pub limits: DeviationLimits,
    /// The moment from which it is to hold.
    pub from: Moment,
    /// The moment at which it falls away. After `from`.
    pub until: Moment,
    /// Why, in the site's words.
    pub reason: String,
    /// What was decided.
    pub decision: Decision,
}

/// A departure in one place of a recipe.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Departure {
    /// A line takes another ingredient.
    Ingredient {
        /// The line.
        line: LineRef,
        /// What it takes instead.
        with: IngredientId,
        /// How much of that.
        amount: NewAmount,
    },
    /// A line takes another amount.
    Amount {
        /// The line.
        line: LineRef,
        /// How much.
        to: NewAmount,
    },
    /// A step says otherwise.
    Wording {
        /// The step.
        step: StepId,
        /// What it says.
        to: Text,
    },
    /// A step is watched otherwise.
    Control {
        /// The step.
        step: StepId,
        /// The control's number within the step, from 1.
        number: u32,
        /// What is watched instead, of the same measure.
        to: Control,
    },
}

/// A line of the revision that a deviation is based on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineRef {
    /// Its number, from 1.
    pub number: u32,
    /// What it takes there, so that a slip in the number is found.
    pub uses: Uses,
}

/// How much a line takes instead.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NewAmount {
    /// So many times what it says. Above 0.
    Times(Number),
    /// This.
    Exactly(Amount),
}

/// How far a site may depart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct DeviationLimits {
    /// The most that each departing line may be of the batch's input.
    pub max_share: Option<Authored<ShareUnit>>,
    /// How far the departing lines may be off when weighed; as the standard says where unstated.
    pub tolerance: Option<Authored<ShareUnit>>,
}

/// What was decided of a deviation.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Decision {
    /// Nothing yet.
    Asked,
    /// It may be made so.
    Granted(Grant),
    /// It may not.
    Refused {
        /// Who decided.
        by: String,
        /// When.
        at: Moment,
        /// Why.
        reason: String,
    },
}

impl Decision {
    /// When it was decided.
    pub fn at(&self) -> Option<Moment> {
        match self {
            Self::Asked => None,
            Self::Granted(grant) => Some(grant.at),
            Self::Refused { at, .. } => Some(*at),
        }
    }

    /// The grant, where it is one.
    pub fn granted(&self) -> Option<&Grant> {
        match self {
            Self::Granted(grant) => Some(grant),
            Self::Asked | Self::Refused { .. } => None,
        }
    }
}

/// Leave to deviate.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Grant {
    /// Who decided.
    pub by: String,
    /// When.
    pub at: Moment,
    /// What the site must know.
    pub note: Option<String>,
    /// The allergens whose worse state is granted with open eyes. A group stands for its kinds.
    pub allergens: BTreeSet<Allergen>,
    /// Whether a critical limit that goes, or lets other things pass, is granted with open eyes.
    pub critical_limits: bool,
}

/// What a deviation comes to at a moment.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum DeviationStanding {
    /// Nothing was decided.
    Asked,
    /// It was refused.
    Refused,
    /// It is granted and holds later.
    NotYet,
    /// It is granted and holds.
    InForce,
    /// It was granted and has fallen away.
    Expired,
}

impl Deviation {
    /// The recipe that it departs from.
    pub fn recipe(&self) -> RecipeId {
        RecipeId::from(&self.based_on.key.id)
    }

    /// The ingredients that it takes instead.
    pub fn substitutes(&self) -> impl Iterator<Item = &IngredientId> {
        self.departures.iter().filter_map(|departure| match departure {
            Departure::Ingredient { with, .. } => Some(with),
            Departure::Amount { .. } | Departure::Wording { .. } | Departure::Control { .. } => {
                None
            }
        })
    }

    /// What it comes to at a moment.
    pub fn standing(&self, at: Moment) -> DeviationStanding {
        match self.decision {
            Decision::Asked => DeviationStanding::Asked,
            Decision::Refused { .. } => DeviationStanding::Refused,
            Decision::Granted(_) if at < self.from => DeviationStanding::NotYet,
            Decision::Granted(_) if at >= self.until => DeviationStanding::Expired,
            Decision::Granted(_) => DeviationStanding::InForce,
        }
    }
}
