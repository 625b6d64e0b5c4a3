//! Short names of changes, for machines.

use super::{
    Bound, Hands, LineSetting, LinesChange, SettingsChange, SiteChange, Told, What, Worded,
};

impl What {
    /// A short name that stays the same when the wording changes.
    pub fn code(&self) -> &'static str {
        match self {
            Self::Allergens(_) => "allergens",
            Self::Statement(_) => "allergen-statement",
            Self::Understated { .. } => "allergen-understated",
            Self::NotTold(not) => match not.what {
                Told::Anything => "not-told",
                Told::Content => "content-not-told",
            },
            Self::Limit(_) => "critical-limit",
            Self::Storage(_) => "storage",
            Self::Step(_) => "step",
            Self::StepOrder(_) => "step-order",
            Self::Instruction { .. } => "instruction",
            Self::StepTime { hands: Hands::Busy, .. } => "active-time",
            Self::StepTime { hands: Hands::Free, .. } => "passive-time",
            Self::StepLabour { .. } => "labour",
            Self::StepEquipment { .. } => "step-equipment",
            Self::StepAfter { .. } => "step-after",
            Self::Control { .. } => "control",
            Self::Lines(lines) => lines.kind().code(),
            Self::LineSetting { setting, .. } => setting.code(),
            Self::Base(_) => "base",
            Self::Density(_) => "density",
            Self::PieceMass(_) => "piece-mass",
            Self::EdibleYield(_) => "edible-yield",
            Self::Yield(_) => "yield",
            Self::Makes(_) => "makes",
            Self::Loss(_) => "loss",
            Self::Batch { bound: Bound::Max, .. } => "batch-max",
            Self::Batch { bound: Bound::Min, .. } => "batch-min",
            Self::BatchEquipment(_) => "batch-equipment",
            Self::Stated(_) => "content-statement",
            Self::Declared(_) => "declared-content",
            Self::MadeOf(_) => "made-of",
            Self::LabelName { .. } => "label-name",
            Self::Content(_) => "content",
            Self::Label { .. } => "label",
            Self::IngredientList { .. } => "ingredient-list",
            Self::Cost(_) => "cost",
            Self::Price(_) => "price",
            Self::Rate(_) => "rate",
            Self::PricesOf(_) => "price-list-site",
            Self::Document(_) => "document",
            Self::Site(change) => change.code(),
            Self::Settings(change) => change.code(),
            Self::StepRenamed(_) => "step-renamed",
            Self::Wording { of, .. } => of.code(),
            Self::Order(_) => "order",
            Self::Rewritten => "rewritten",
        }
    }
}

impl LinesChange {
    fn code(self) -> &'static str {
        match self {
            Self::Added => "line-added",
            Self::Removed => "line-removed",
            Self::Replaced => "line-replaced",
            Self::Amount => "line-amount",
            Self::Weighs => "line-weighs",
            Self::Split => "line-split",
            Self::Merged => "lines-merged",
        }
    }
}

impl LineSetting {
    fn code(&self) -> &'static str {
        match self {
            Self::Scaling(_) => "line-scaling",
            Self::Base(_) => "line-base",
            Self::Tolerance(_) => "line-tolerance",
            Self::Step(_) => "line-step",
        }
    }
}

impl SiteChange {
    fn code(&self) -> &'static str {
        match self {
            Self::Groups(_) => "site-groups",
            Self::TimeZone(_) => "site-time-zone",
            Self::Language(_) => "site-language",
            Self::Label(_) => "site-label",
            Self::Currency(_) => "site-currency",
            Self::LabourRate(_) => "labour-rate",
            Self::Scale(_) => "scale",
            Self::Equipment(_) => "equipment",
        }
    }
}

impl SettingsChange {
    fn code(&self) -> &'static str {
        match self {
            Self::Currency(_) => "currency",
            Self::Languages(_) => "languages",
            Self::Labels(_) => "labels",
            Self::Control(_) => "food-safety-plan",
            Self::Review(_) => "review-rule",
        }
    }
}

impl Worded {
    fn code(&self) -> &'static str {
        match self {
            Self::Title => "title",
            Self::Name => "name",
            Self::Note => "note",
            Self::Step(_) => "translation",
        }
    }
}
