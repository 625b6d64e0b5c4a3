//! Documents, sites, settings and texts.

use chablon_declare::allergens::AllergenDeclaration;
use chablon_model::{
    ControlSettings, Equipment, GroupId, LabelRegime, Language, ReviewRule, Scale, StepId,
    TimeZoneName,
};
use chablon_quantity::{Currency, HourlyRate};

use crate::Pair;

/// A document that is there, and what of it nobody has looked at before.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Presence {
    /// Of a finished piece: every allergen that it isn't known to be free of.
    pub allergens: Vec<AllergenDeclaration>,
    /// Of a recipe: how many critical limits its steps have.
    pub limits: usize,
    /// Of a finished piece: why it can't be told what is in it.
    pub not_told: Option<String>,
}

impl Presence {
    /// Whether something of it can hurt someone.
    pub fn is_safety(&self) -> bool {
        !self.allergens.is_empty() || self.limits > 0 || self.not_told.is_some()
    }
}

/// What of a site changes.
#[derive(Clone, Debug, PartialEq, Eq)]
#[expect(clippy::large_enum_variant, reason = "a site changes in a few places, not in thousands")]
pub enum SiteChange {
    /// The groups by which releases address it.
    Groups(Pair<Vec<GroupId>>),
    /// The time zone of its clocks.
    TimeZone(Pair<Option<TimeZoneName>>),
    /// The language that it reads.
    Language(Pair<Option<Language>>),
    /// The label rules that it declares under.
    Label(Pair<Option<LabelRegime>>),
    /// The currency that it costs in.
    Currency(Pair<Option<Currency>>),
    /// What an hour of labour costs.
    LabourRate(Pair<Option<HourlyRate>>),
    /// A scale.
    Scale(Pair<Option<Scale>>),
    /// A piece of equipment.
    Equipment(Pair<Option<Equipment>>),
}

/// What of the group's settings changes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum SettingsChange {
    /// The currency of a site that names none.
    Currency(Pair<Currency>),
    /// The languages; the first is the fallback.
    Languages(Pair<Vec<Language>>),
    /// The label rules that the group declares under.
    Labels(Pair<Vec<LabelRegime>>),
    /// The food-safety plan that recipes are held to.
    Control(Box<Pair<ControlSettings>>),
    /// How changes are looked at before they are released.
    Review(Pair<ReviewRule>),
}

/// What a text belongs to.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Worded {
    /// A recipe's title.
    Title,
    /// A name.
    Name,
    /// A note for people.
    Note,
    /// A step, in another language than the first.
    Step(StepId),
}

/// What stands in an order that means nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Listed {
    /// A recipe's lines.
    Lines,
    /// A recipe's losses.
    Losses,
}
