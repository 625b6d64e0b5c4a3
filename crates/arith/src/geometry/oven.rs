//! Trays and oven loads.

use super::GeometryError;

/// The trays and oven loads that so many pieces take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct OvenPlan {
    /// The pieces on a full tray.
    pub per_tray: u64,
    /// The trays in a full oven.
    pub per_load: u64,
    /// All trays, of which the last may not be full.
    pub trays: u64,
    /// The pieces on the last tray.
    pub last_tray: u64,
    /// All oven loads, of which the last may not be full.
    pub loads: u64,
    /// The trays in the last load.
    pub last_load: u64,
}

impl OvenPlan {
    /// Fills tray after tray and load after load; only the last of each may be part filled.
    ///
    /// `per_tray` is what a [`super::Layout`] says, or the kitchen's own habit.
    pub fn new(pieces: u64, per_tray: u64, per_load: u64) -> Result<Self, GeometryError> {
        if per_tray == 0 {
            return Err(GeometryError::NoRoom { what: "pieces to a tray" });
        }
        if per_load == 0 {
            return Err(GeometryError::NoRoom { what: "trays to an oven load" });
        }
        let trays = pieces.div_ceil(per_tray);
        let loads = trays.div_ceil(per_load);
        Ok(Self {
            per_tray,
            per_load,
            trays,
            last_tray: last(pieces, per_tray),
            loads,
            last_load: last(trays, per_load),
        })
    }
}

/// What is in the last of the groups that `all` are split into; a full group where none is left
/// over, and 0 where there is none.
fn last(all: u64, per_group: u64) -> u64 {
    match (all, all % per_group) {
        (0, _) => 0,
        (_, 0) => per_group,
        (_, rest) => rest,
    }
}
