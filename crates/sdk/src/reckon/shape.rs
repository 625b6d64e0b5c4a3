//! Shapes, sheets, ovens.

use chablon_arith::about;
use chablon_arith::geometry::{Along, Layout, Mould, Outline, OvenPlan, Pattern, Sheet, Spacing};
use chablon_quantity::{Density, Grams, Length, Mass, Millilitres, Millimetres, Share};

use super::{Reckoned, Value};
use crate::Error;
use crate::figures::Figure;

/// What a flat piece weighs.
///
/// # Errors
/// [`Error::is_not_computable`] for sizes that aren't above 0.
pub fn flat_mass(
    outline: &Outline,
    thickness: &Length,
    density: &Density,
) -> Result<Reckoned, Error> {
    let volume = outline.volume(thickness)?.millilitres();
    let mass = outline.mass(thickness, density)?.grams();
    let reckoned = Reckoned::new("flat-mass", "Mass of the piece", &[about::SHAPES]);
    let reckoned = reckoned.grams("mass_g", "mass", mass);
    Ok(reckoned.with("volume_ml", "volume", "mL", Value::Figure(Figure::millilitres(volume))))
}

/// How thick a mass of a flat shape comes out.
///
/// # Errors
/// [`Error::is_not_computable`] for sizes that aren't above 0.
pub fn flat_thickness(
    outline: &Outline,
    mass: &Mass,
    density: &Density,
) -> Result<Reckoned, Error> {
    let thickness = Figure::millimetres(outline.thickness(mass, density)?.millimetres());
    let reckoned = Reckoned::new("flat-thickness", "Thickness of the piece", &[about::SHAPES]);
    Ok(reckoned.with("thickness_mm", "thickness", "mm", Value::Figure(thickness)))
}

/// What a mould takes, filled to a share of its volume; its mass, where a density is given.
///
/// # Errors
/// [`Error::is_not_computable`] for a fill of nothing or above the rim.
pub fn fill(mould: &Mould, share: &Share, density: Option<&Density>) -> Result<Reckoned, Error> {
    let part = Figure::millilitres(mould.part(share)?.millilitres());
    let mut reckoned = Reckoned::new("fill", "Fill of the mould", &[about::SHAPES]);
    if let Some(density) = density {
        reckoned = reckoned.grams("mass_g", "mass", mould.fill(share, density)?.grams());
    }
    Ok(reckoned.with("volume_ml", "volume", "mL", Value::Figure(part)))
}

/// The factor by which a recipe for one mould is taken for another.
pub fn mould_factor(from: &Mould, to: &Mould) -> Reckoned {
    let factor = Value::Figure(Figure::factor(from.factor_to(to)));
    Reckoned::new("mould-factor", "From one mould to another", &[about::SHAPES]).with(
        "factor",
        "times the recipe",
        "",
        factor,
    )
}

/// How many pieces a sheet gives, by the best layout, and what is cut off.
///
/// # Errors
/// [`Error::is_not_computable`] where not one piece fits.
pub fn sheet(sheet: &Sheet, piece: &Outline, spacing: &Spacing) -> Result<Reckoned, Error> {
    let fit = sheet.fit(piece, spacing)?;
    let best = fit.best();
    let mut reckoned = Reckoned::new("sheet", "Pieces of a sheet", &[about::SHEET])
        .counted("pieces", "pieces", best.pieces)
        .words("layout", "laid", laid(best))
        .percent("offcut_percent", "offcut", &best.offcut.0);
    let in_rows = fit.best_in_rows();
    if in_rows != best {
        let rows = in_rows.pieces;
        reckoned = reckoned.counted("pieces_in_rows", "in plain rows only", rows);
    }
    Ok(reckoned)
}

/// A layout in words.
fn laid(layout: &Layout) -> String {
    let Layout { rows, per_row, .. } = layout;
    let along = match layout.along {
        Along::Length => "length",
        Along::Width => "width",
    };
    let of = if *rows == 1 { "row of" } else { "rows of" };
    match layout.pattern {
        Pattern::Rows => format!("{rows} {of} {per_row} along the {along}"),
        Pattern::Staggered { per_offset_row } => {
            format!("{rows} {of} {per_row} and {per_offset_row} by turns, along the {along}")
        }
    }
}

/// Trays and oven loads for so many pieces.
///
/// # Errors
/// [`Error::is_not_computable`] where a tray takes no piece or a load no tray.
pub fn oven(pieces: u64, per_tray: u64, per_load: u64) -> Result<Reckoned, Error> {
    let plan = OvenPlan::new(pieces, per_tray, per_load)?;
    let reckoned = Reckoned::new("oven", "Trays and oven loads", &[about::OVEN])
        .counted("per_tray", "pieces to a tray", per_tray)
        .counted("trays", "trays", plan.trays)
        .counted("last_tray", "pieces on the last tray", plan.last_tray)
        .counted("loads", "oven loads", plan.loads)
        .counted("last_load", "trays in the last load", plan.last_load);
    Ok(reckoned)
}
