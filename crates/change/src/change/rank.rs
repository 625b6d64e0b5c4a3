//! How much each change weighs and where it is listed.

use chablon_declare::allergens::StateChange;
use chablon_model::AllergenState;

use super::{AllergenChange, Change, LineSetting, SettingsChange, Shift, SiteChange, Told, What};
use crate::{Class, Pair};

/// Under which heading a change is listed, in this order: the worst first. A heading holds changes
/// of one class, but for [`Documents`](Self::Documents).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// Allergens, and what can't be told.
    Allergens,
    /// Critical limits.
    Limits,
    /// How results are kept.
    Storage,
    /// Documents that are new or gone, sites and settings.
    Documents,
    /// Steps, their order, times and controls.
    Method,
    /// Ingredients and amounts.
    Amounts,
    /// Yield and piece mass.
    Yield,
    /// Losses.
    Losses,
    /// Bounds of a batch.
    Batch,
    /// Cost.
    Cost,
    /// Content, label and list of ingredients.
    Content,
    /// Text alone.
    Text,
}

impl Group {
    /// The heading's name.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Allergens => "allergens",
            Self::Limits => "critical limits",
            Self::Storage => "storage",
            Self::Documents => "new and gone",
            Self::Method => "method",
            Self::Amounts => "ingredients and amounts",
            Self::Yield => "yield",
            Self::Losses => "losses",
            Self::Batch => "batch",
            Self::Content => "content and label",
            Self::Cost => "cost",
            Self::Text => "text",
        }
    }
}

impl What {
    /// Under which heading it is listed.
    pub fn group(&self) -> Group {
        match self {
            Self::Allergens(_) | Self::Statement(_) | Self::Understated { .. } => Group::Allergens,
            Self::NotTold(not) if not.what == Told::Anything => Group::Allergens,
            Self::Limit(_) => Group::Limits,
            Self::Storage(_) => Group::Storage,
            Self::Step(_)
            | Self::StepOrder(_)
            | Self::Instruction { .. }
            | Self::StepTime { .. }
            | Self::StepLabour { .. }
            | Self::StepEquipment { .. }
            | Self::StepAfter { .. }
            | Self::Control { .. }
            | Self::LineSetting { setting: LineSetting::Step(_), .. } => Group::Method,
            Self::Lines(_)
            | Self::LineSetting { .. }
            | Self::Base(_)
            | Self::Density(_)
            | Self::PieceMass(_) => Group::Amounts,
            Self::Yield(_) | Self::Makes(_) => Group::Yield,
            Self::Loss(_) => Group::Losses,
            Self::Batch { .. } | Self::BatchEquipment(_) => Group::Batch,
            Self::NotTold(_)
            | Self::Stated(_)
            | Self::Declared(_)
            | Self::MadeOf(_)
            | Self::LabelName { .. }
            | Self::Content(_)
            | Self::Label { .. }
            | Self::IngredientList { .. } => Group::Content,
            Self::EdibleYield(_)
            | Self::Cost(_)
            | Self::Price(_)
            | Self::Rate(_)
            | Self::PricesOf(_) => Group::Cost,
            Self::Document(_) => Group::Documents,
            Self::Site(change) => change.group(),
            Self::Settings(change) => change.group(),
            Self::StepRenamed(_) | Self::Wording { .. } | Self::Order(_) | Self::Rewritten => {
                Group::Text
            }
        }
    }

    /// How much it weighs.
    ///
    /// An allergen that is lost weighs as much as one that is gained: a label and a cook's answer
    /// are wrong either way. So does a limit that is tightened: what was made by the looser one
    /// may still be there. How long a result keeps is food safety in both directions.
    pub fn class(&self) -> Class {
        match (self, self.group()) {
            (Self::Document(Pair { after: Some(new), .. }), _) if new.is_safety() => Class::Safety,
            // Whoever loosens the rule loosens it for what can hurt someone, too.
            (Self::Settings(SettingsChange::Review(_)), _)
            | (_, Group::Allergens | Group::Limits | Group::Storage) => Class::Safety,
            (_, Group::Cost) => Class::Cost,
            (_, Group::Text) => Class::Text,
            _ => Class::Recipe,
        }
    }

    /// Within one heading, the worst first.
    fn order(&self) -> u8 {
        match self {
            Self::Allergens(AllergenChange { state, .. }) => {
                order_of_states(state.before, state.after)
            }
            Self::Statement(changes) => {
                let of = |one: &StateChange| order_of_states(one.before, one.after);
                10 + changes.iter().map(of).min().unwrap_or_default()
            }
            Self::Understated { .. } => 9,
            Self::Limit(limit) => match limit.shift() {
                Shift::Removed => 0,
                Shift::Loosened => 1,
                Shift::Moved => 2,
                Shift::Tightened => 3,
                Shift::Added => 4,
            },
            _ => 0,
        }
    }
}

/// What is gained before what is lost, and the worse state first.
fn order_of_states(before: AllergenState, after: AllergenState) -> u8 {
    match (after > before, after) {
        (true, AllergenState::Contains) => 1,
        (true, AllergenState::Unknown) => 2,
        (true, _) => 3,
        (false, _) => 4,
    }
}

impl SiteChange {
    fn group(&self) -> Group {
        match self {
            Self::Currency(_) | Self::LabourRate(_) => Group::Cost,
            Self::Language(_) => Group::Text,
            Self::Groups(_)
            | Self::TimeZone(_)
            | Self::Label(_)
            | Self::Scale(_)
            | Self::Equipment(_) => Group::Documents,
        }
    }
}

impl SettingsChange {
    fn group(&self) -> Group {
        match self {
            Self::Currency(_) => Group::Cost,
            Self::Languages(_) => Group::Text,
            Self::Labels(_) | Self::Review(_) => Group::Documents,
            Self::Control(_) => Group::Limits,
        }
    }
}

impl Change {
    /// How much it weighs.
    pub fn class(&self) -> Class {
        self.what.class()
    }

    /// What changes are sorted by: what can hurt somebody first, then as headings follow. A price
    /// weighs less than a label, but is looked for beside the amounts that move it.
    pub(crate) fn rank(&self) -> impl Ord + use<> {
        let harmless = self.class() != Class::Safety;
        (harmless, self.what.group(), self.what.order(), self.place.clone())
    }
}
