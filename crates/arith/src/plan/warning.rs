//! What a kitchen must know about a plan, though it stands.

use std::fmt;

use chablon_model::EquipmentClass;
use chablon_quantity::Exact;

use super::WeighFlag;
use crate::fault::{grams, percent};
use crate::geometry::GeometryError;

/// A warning about one recipe of a plan. Shown as a sentence without a full stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Warning {
    /// A batch is smaller than the recipe turns out well in.
    BelowMinimumBatch {
        /// Grams of input in each batch.
        batch: Exact,
        /// Grams that the recipe asks for at least.
        minimum: Exact,
    },
    /// The declared yield and the stated losses disagree by more than 3 %.
    UnexplainedLoss {
        /// The loss beyond the stated ones, as a part; below 0 where more comes out than can.
        share: Exact,
    },
    /// A line has no amount.
    ToTaste {
        /// Its number, from 1.
        line: usize,
    },
    /// The site can't weigh a line as the standard asks: what is weighed is over the tolerance,
    /// and by all of the mass where the scale shows nothing.
    CannotWeigh {
        /// Its number, from 1.
        line: usize,
        /// Why not.
        flag: WeighFlag,
        /// How far the readings are off, as a part of the mass.
        error: Exact,
        /// How far they may be off.
        tolerance: Exact,
    },
    /// What trays the pieces take in equipment that the recipe occupies can't be told: not one piece
    /// fits on a tray.
    NoTrays {
        /// The class of the equipment.
        equipment: EquipmentClass,
        /// Why not.
        because: GeometryError,
    },
}

impl Warning {
    /// A short name that stays the same when the wording changes.
    pub fn code(&self) -> &'static str {
        match self {
            Self::BelowMinimumBatch { .. } => "below-minimum-batch",
            Self::UnexplainedLoss { .. } => "unexplained-loss",
            Self::ToTaste { .. } => "to-taste",
            Self::CannotWeigh { .. } => "over-tolerance",
            Self::NoTrays { .. } => "no-trays",
        }
    }

    /// The line that is meant, by its number from 1.
    pub fn line(&self) -> Option<usize> {
        match self {
            Self::ToTaste { line } | Self::CannotWeigh { line, .. } => Some(*line),
            Self::BelowMinimumBatch { .. }
            | Self::UnexplainedLoss { .. }
            | Self::NoTrays { .. } => None,
        }
    }
}

impl fmt::Display for Warning {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::BelowMinimumBatch { batch, minimum } => {
                write!(f, "a batch of {} is below the least of {}", grams(batch), grams(minimum))
            }
            Self::UnexplainedLoss { share } => {
                write!(f, "the yield differs by {} from what the losses leave", percent(share))
            }
            Self::NoTrays { equipment, because } => {
                write!(f, "no trays can be told for the {equipment}: {because}")
            }
            Self::ToTaste { line } => write!(f, "line {line} is to taste and isn't counted"),
            Self::CannotWeigh { line, flag: WeighFlag::ReadsZero, .. } => {
                write!(f, "no scale here shows anything for line {line}")
            }
            Self::CannotWeigh { line, error, tolerance, .. } => write!(
                f,
                "line {line} is weighed {} off, where {} is allowed",
                percent(error),
                percent(tolerance)
            ),
        }
    }
}
