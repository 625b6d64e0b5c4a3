//! What sheets give (section 3 of the rules).

use chablon_model::{PieceSize, SheetYield};
use chablon_quantity::{Authored, DensityUnit, Exact, Grams};

use crate::Fault;
use crate::geometry::{Outline, lay_out};

/// What is cut from the sheets of one written batch.
pub(super) struct Cut {
    /// The pieces.
    pub(super) pieces: Exact,
    /// The part of the sheets that is in no piece.
    pub(super) offcut: Exact,
    /// The net mass of one piece, where it is stated or follows from a thickness.
    pub(super) piece_mass: Option<Exact>,
}

/// Lays the pieces out.
pub(super) fn cut(
    yields: &SheetYield,
    density: Option<Authored<DensityUnit>>,
) -> Result<Cut, Fault> {
    let layout = lay_out(yields).map_err(Fault::Shape)?;
    let piece_mass = yields.each.as_ref().map(|each| mass(yields, each, density)).transpose()?;
    let pieces = Exact::from(layout.pieces) * Exact::from(yields.sheets.get());
    Ok(Cut { pieces, offcut: layout.offcut.0, piece_mass })
}

fn mass(
    yields: &SheetYield,
    each: &PieceSize,
    density: Option<Authored<DensityUnit>>,
) -> Result<Exact, Fault> {
    match each {
        PieceSize::Mass(mass) => Ok(mass.quantity().grams()),
        PieceSize::Thickness(thickness) => {
            let density = density.ok_or(Fault::ThicknessWithoutDensity)?.quantity();
            let outline = Outline::try_from(&yields.piece).map_err(Fault::Shape)?;
            let mass = outline.mass(&thickness.quantity(), &density).map_err(Fault::Shape)?;
            Ok(mass.grams())
        }
    }
}
