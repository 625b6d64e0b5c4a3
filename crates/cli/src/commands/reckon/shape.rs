//! Shapes, sheets, ovens.

use chablon_arith::geometry::{GeometryError, Mould, Outline, Sheet, Spacing};
use chablon_quantity::{
    Authored, DensityUnit, Exact, Length, LengthUnit, MassUnit, Millimetres, Share, ShareUnit,
};
use chablon_sdk::Error;
use chablon_sdk::reckon::{self, Reckoned};
use clap::Args;

use crate::arguments::{parse_mould, parse_outline, parse_sheet};

/// What a flat piece weighs, or how thick a mass of it comes out
#[derive(Debug, Args)]
pub(super) struct Flat {
    /// Its shape: "disc 16 cm", "ring 18 cm x 14 cm", "rectangle 30 cm x 10 cm", "strip 16 cm x 4
    /// cm" (round the inside of a frame: diameter, height)
    #[arg(long, value_name = "SHAPE", value_parser = parse_outline)]
    shape: Outline,
    /// Its density: "0.55 g/mL"
    #[arg(long, value_name = "DENSITY")]
    density: Authored<DensityUnit>,
    #[command(flatten)]
    third: Third,
}

/// The third size, from which the fourth follows.
#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
struct Third {
    /// How thick it is
    #[arg(long, value_name = "LENGTH")]
    thickness: Option<Authored<LengthUnit>>,
    /// Or what it weighs
    #[arg(long, value_name = "MASS")]
    mass: Option<Authored<MassUnit>>,
}

impl Flat {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        let density = self.density.quantity();
        match (&self.third.thickness, &self.third.mass) {
            (Some(thickness), _) => reckon::flat_mass(&self.shape, &thickness.quantity(), &density),
            (None, mass) => {
                let mass = mass.as_ref().expect("the parser asks for one of the two");
                reckon::flat_thickness(&self.shape, &mass.quantity(), &density)
            }
        }
    }
}

/// What a mould takes, or by what a recipe for one is multiplied for another
#[derive(Debug, Args)]
pub(super) struct MouldFill {
    /// The mould, by its inner sizes: "cylinder 16 cm x 45 mm", "ring 18 cm x 14 cm x 45 mm",
    /// "frame 60 cm x 40 cm x 20 mm", "half-sphere 7 cm", "cone 10 cm x 8 cm x 4 cm", "loaf 26 cm x
    /// 10 cm x 24 cm x 9 cm x 8 cm", "half-cylinder 8 cm x 30 cm", "savarin 7 cm x 25 mm"
    #[arg(long, value_name = "MOULD", value_parser = parse_mould)]
    mould: Mould,
    /// How far it is filled, by volume; to the rim if not given
    #[arg(long, value_name = "SHARE", conflicts_with = "other")]
    share: Option<Authored<ShareUnit>>,
    /// The density of what goes in
    #[arg(long, value_name = "DENSITY", conflicts_with = "other")]
    density: Option<Authored<DensityUnit>>,
    /// The mould to use in its place
    #[arg(long, value_name = "MOULD", value_parser = parse_mould)]
    other: Option<Mould>,
}

impl MouldFill {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        if let Some(other) = &self.other {
            return Ok(reckon::mould_factor(&self.mould, other));
        }
        let rim = || Share(Exact::from(1));
        let share = self.share.as_ref().map_or_else(rim, Authored::quantity);
        let density = self.density.as_ref().map(Authored::quantity);
        reckon::fill(&self.mould, &share, density.as_ref())
    }
}

/// How pieces lie on a sheet.
#[derive(Debug, Args)]
struct Lying {
    /// A piece: "disc 7 cm", "rectangle 10 cm x 10 cm"
    #[arg(long, value_name = "SHAPE", value_parser = parse_outline)]
    piece: Option<Outline>,
    /// What is left between two of them
    #[arg(long, value_name = "LENGTH")]
    gap: Option<Authored<LengthUnit>>,
    /// What is left free along every edge
    #[arg(long, value_name = "LENGTH")]
    edge: Option<Authored<LengthUnit>>,
}

impl Lying {
    fn spacing(&self) -> Result<Spacing, GeometryError> {
        let free = |size: &Option<Authored<LengthUnit>>| {
            size.as_ref().map_or_else(|| Length::of_millimetres(0), Authored::quantity)
        };
        Spacing::gap(free(&self.gap))?.with_edge(free(&self.edge))
    }
}

/// How many pieces a sheet gives, and what is cut off
#[derive(Debug, Args)]
pub(super) struct SheetOf {
    /// The sheet: "60 cm x 40 cm"
    #[arg(long, value_name = "SIDES", value_parser = parse_sheet)]
    sheet: Sheet,
    #[command(flatten)]
    lying: Lying,
}

impl SheetOf {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        let piece = self.lying.piece.as_ref().expect("the parser asks for a piece");
        reckon::sheet(&self.sheet, piece, &self.lying.spacing()?)
    }
}

/// Trays and oven loads for so many pieces
#[derive(Debug, Args)]
pub(super) struct Oven {
    /// All pieces
    #[arg(long, value_name = "N")]
    pieces: u64,
    /// The pieces on a full tray
    #[arg(long, value_name = "N", required_unless_present = "tray", conflicts_with = "tray")]
    per_tray: Option<u64>,
    /// Or the tray, if the pieces are to be laid out: "60 cm x 40 cm"
    #[arg(long, value_name = "SIDES", value_parser = parse_sheet, requires = "piece")]
    tray: Option<Sheet>,
    #[command(flatten)]
    lying: Lying,
    /// The trays in a full oven
    #[arg(long, value_name = "N")]
    per_load: u64,
}

impl Oven {
    pub(super) fn reckon(&self) -> Result<Reckoned, Error> {
        let per_tray = match (self.per_tray, &self.tray, &self.lying.piece) {
            (Some(per_tray), _, _) => per_tray,
            (None, Some(tray), Some(piece)) => {
                tray.fit(piece, &self.lying.spacing()?)?.best().pieces
            }
            _ => unreachable!("the parser asks for a number, or for a tray and a piece"),
        };
        reckon::oven(self.pieces, per_tray, self.per_load)
    }
}
