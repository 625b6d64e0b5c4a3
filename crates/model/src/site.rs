//! Sites: the group's kitchens.

use chablon_quantity::{Authored, Currency, HourlyRate, MassUnit};

use crate::{EquipmentClass, GroupId, LabelRegime, Language, SiteId, TimeZoneName};

/// One kitchen with what it weighs and makes with.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Site {
    /// The id.
    pub id: SiteId,
    /// The name.
    pub name: String,
    /// The groups it belongs to, by which releases address it.
    pub groups: Vec<GroupId>,
    /// The time zone of its clocks, by which a release may hold from a time of its own day.
    pub time_zone: Option<TimeZoneName>,
    /// The language that the kitchen reads; the book's first where unstated.
    pub language: Option<Language>,
    /// The label regime it declares under.
    pub label: Option<LabelRegime>,
    /// The currency it costs in; the book's where unstated.
    pub currency: Option<Currency>,
    /// What an hour of labour costs.
    pub labour_rate: Option<HourlyRate>,
    /// Its scales.
    pub scales: Vec<Scale>,
    /// Its equipment, by class.
    pub equipment: Vec<Equipment>,
}

/// A scale.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Scale {
    /// What the kitchen calls it.
    pub name: String,
    /// The most it weighs.
    pub capacity: Authored<MassUnit>,
    /// The step of its reading.
    pub increment: Authored<MassUnit>,
}

/// Equipment whose capacity bounds a batch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Equipment {
    /// The class.
    pub class: EquipmentClass,
    /// The most input that one batch may have.
    pub capacity: Authored<MassUnit>,
}
