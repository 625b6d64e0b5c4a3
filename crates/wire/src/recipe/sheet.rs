//! Pieces cut from sheets.

use std::num::NonZeroU32;

use chablon_model::{PieceSize, ShapeFlaw, Sheet, SheetLayout, SheetYield};

use super::shape::refusal;
use crate::form::{Coded, Wire, code, coded, optional, required, to_optional};
use crate::quantity::some;
use crate::{At, Violation, pb};

coded!(SheetLayout = pb::SheetLayout { Best, Rows, Staggered });

impl Wire for SheetYield {
    type Pb = pb::SheetYield;

    fn to_pb(&self) -> pb::SheetYield {
        let each = |size: &PieceSize| match size {
            PieceSize::Mass(mass) => pb::sheet_yield::Each::PieceMass(mass.to_pb()),
            PieceSize::Thickness(thickness) => pb::sheet_yield::Each::Thickness(thickness.to_pb()),
        };
        pb::SheetYield {
            sheet: Some(self.sheet.to_pb()),
            piece: Some(self.piece.to_pb()),
            layout: self.layout.code(),
            sheets: self.sheets.get(),
            each: self.each.as_ref().map(each),
        }
    }

    fn from_pb(yields: pb::SheetYield) -> Result<Self, Violation> {
        let sheets = NonZeroU32::new(yields.sheets);
        let read = Self {
            sheet: required(yields.sheet, "sheet")?,
            piece: required(yields.piece, "piece")?,
            layout: code(yields.layout, "layout")?,
            sheets: sheets.ok_or_else(|| Violation::required().at("sheets"))?,
            each: yields.each.map(each).transpose().at("each")?,
        };
        match read.flaw() {
            Some(flaw) => Err(refusal(flaw).at(place(flaw))),
            None => Ok(read),
        }
    }
}

fn each(size: pb::sheet_yield::Each) -> Result<PieceSize, Violation> {
    match size {
        pb::sheet_yield::Each::PieceMass(mass) => {
            some(Some(mass), "piece_mass").map(PieceSize::Mass)
        }
        pb::sheet_yield::Each::Thickness(thickness) => {
            some(Some(thickness), "thickness").map(PieceSize::Thickness)
        }
    }
}

fn place(flaw: ShapeFlaw) -> &'static str {
    match flaw {
        ShapeFlaw::AllEdge => "sheet.edge",
        ShapeFlaw::NotStaggered => "layout",
        ShapeFlaw::HoleTooLarge | ShapeFlaw::TubeTooThick | ShapeFlaw::DoesNotFit => "piece",
    }
}

impl Wire for Sheet {
    type Pb = pb::Sheet;

    fn to_pb(&self) -> pb::Sheet {
        pb::Sheet {
            length: Some(self.length.to_pb()),
            width: Some(self.width.to_pb()),
            gap: to_optional(self.gap.as_ref()),
            edge: to_optional(self.edge.as_ref()),
        }
    }

    fn from_pb(sheet: pb::Sheet) -> Result<Self, Violation> {
        Ok(Self {
            length: some(sheet.length, "length")?,
            width: some(sheet.width, "width")?,
            gap: optional(sheet.gap, "gap")?,
            edge: optional(sheet.edge, "edge")?,
        })
    }
}
