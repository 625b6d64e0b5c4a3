//! Sites: the group's kitchens.

use std::fmt;
use std::num::NonZeroU32;

use chablon_quantity::{Authored, Currency, HourlyRate, MassUnit};

use crate::{EquipmentClass, GroupId, LabelRegime, Language, Sheet, SiteId, TimeZoneName};

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

/// Equipment whose capacity bounds a batch, and whose trays are filled.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Equipment {
    /// The class.
    pub class: EquipmentClass,
    /// The most input that one batch may have.
    pub capacity: Authored<MassUnit>,
    /// The trays that go into it at once, where it takes trays.
    pub load: Option<Load>,
}

/// What goes into an oven, a prover or a freezer at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Load {
    /// How many trays.
    pub trays: NonZeroU32,
    /// What one of them takes.
    pub tray: Tray,
}

/// What one tray takes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tray {
    /// So many pieces, whichever they are.
    Pieces(NonZeroU32),
    /// As many as lie on it, by its sides and by the recipe's outline of a piece.
    Sides(Sheet),
}

impl fmt::Display for Load {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { trays, tray } = self;
        let plural = if trays.get() == 1 { "" } else { "s" };
        match tray {
            Tray::Pieces(pieces) => write!(f, "{trays} tray{plural} of {pieces} pieces"),
            Tray::Sides(tray) => {
                write!(f, "{trays} tray{plural} of {} x {}", tray.length, tray.width)?;
                tray.gap.map_or(Ok(()), |gap| write!(f, ", {gap} between two pieces"))?;
                tray.edge.map_or(Ok(()), |edge| write!(f, ", {edge} free along the edges"))
            }
        }
    }
}
