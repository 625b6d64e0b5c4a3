//! Trays and loads for the pieces of a plan (section 7.8 of the rules).

use chablon_model::{EquipmentClass, Load, Outline, Tray};
use chablon_quantity::Exact;

use super::Warning;
use crate::SiteKit;
use crate::compiled::CompiledRecipe;
use crate::geometry::{self, GeometryError, OvenPlan};

/// The trays and loads that the pieces of one recipe take in one class of equipment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TrayLoads {
    /// The class.
    pub equipment: EquipmentClass,
    /// The pieces over all batches, rounded up to whole ones.
    pub pieces: u64,
    /// How they fill trays and loads.
    pub oven: OvenPlan,
}

/// What a recipe's pieces take, with what stands in the way.
#[derive(Default)]
pub(super) struct Laid {
    pub(super) loads: Vec<TrayLoads>,
    pub(super) warnings: Vec<Warning>,
}

/// Lays the pieces of a recipe on the trays of all equipment that it occupies at a site. What a
/// tray takes is stated, or it follows from the outline of a piece; where neither is, nothing is
/// said of it.
pub(super) fn lay(recipe: &CompiledRecipe, pieces: Option<&Exact>, site: Option<&SiteKit>) -> Laid {
    let mut laid = Laid::default();
    let (Some(pieces), Some(site)) = (pieces, site) else { return laid };
    for class in &recipe.occupies {
        let Some(load) = site.loads.get(class) else { continue };
        let Some(per_tray) = per_tray(load, recipe.outline.as_ref()) else { continue };
        let equipment = class.clone();
        match per_tray.and_then(|each| filled(pieces, each, load)) {
            Ok((pieces, oven)) => laid.loads.push(TrayLoads { equipment, pieces, oven }),
            Err(because) => laid.warnings.push(Warning::NoTrays { equipment, because }),
        }
    }
    laid
}

/// The pieces, rounded up, and how they fill trays.
fn filled(pieces: &Exact, per_tray: u64, load: &Load) -> Result<(u64, OvenPlan), GeometryError> {
    let too_many = GeometryError::TooMany { what: "pieces to lay on trays", limit: u64::MAX };
    let whole = pieces.ceil().to_u64().ok_or(too_many)?;
    Ok((whole, OvenPlan::new(whole, per_tray, load.trays.get().into())?))
}

/// The pieces on a full tray, or nothing where that isn't known.
fn per_tray(load: &Load, outline: Option<&Outline>) -> Option<Result<u64, GeometryError>> {
    match &load.tray {
        Tray::Pieces(pieces) => Some(Ok(pieces.get().into())),
        Tray::Sides(tray) => outline.map(|outline| geometry::most_pieces(tray, outline)),
    }
}
