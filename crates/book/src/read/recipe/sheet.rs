//! Pieces cut from sheets.

use std::num::NonZeroU32;

use chablon_model::{Outline, PieceSize, ShapeFlaw, Sheet, SheetLayout, SheetYield};

use super::shape::{Form, OUTLINES, outline, two_forms};
use crate::Finding;
use crate::read::fields::Fields;
use crate::read::quantity::{above_zero, from_one, quantity};
use crate::suggest::either;

/// The keys that only a yield from sheets has.
const OWN: [&str; 4] = ["sheet", "layout", "sheets", "thickness"];

/// Whether a yield is one from sheets, by its keys. An outline beside a number of pieces only says
/// how large one is.
pub(super) fn is_from_sheets(fields: &Fields<'_>) -> bool {
    let own = OWN.into_iter().any(|key| fields.has(key));
    own || (has_outline(fields) && !fields.has("pieces"))
}

fn has_outline(fields: &Fields<'_>) -> bool {
    OUTLINES.iter().any(|(key, _)| fields.has(key))
}

/// The outline of a piece, where one is stated; nothing where the outer is missing.
#[expect(clippy::option_option, reason = "what can't be read isn't what isn't there")]
pub(super) fn outline_beside(fields: &mut Fields<'_>) -> Option<Option<Outline>> {
    if has_outline(fields) { piece(fields).map(Some) } else { Some(None) }
}

/// The keys of a yield from sheets, for advice on others.
pub(super) fn know(fields: &mut Fields<'_>) {
    fields.know(OWN.into_iter().chain(OUTLINES.iter().map(|(key, _)| *key)));
}

/// A yield in pieces cut from sheets.
pub(super) fn sheet_yield(fields: &mut Fields<'_>) -> Option<SheetYield> {
    let sheet = fields.required("sheet", |value| value.table("a sheet", sheet));
    let piece = piece(fields);
    let layout =
        fields.optional("layout", |value| value.one_of(SheetLayout::ALL, SheetLayout::as_str));
    let sheets = if fields.has("sheets") {
        fields.optional("sheets", from_one)
    } else {
        fields.know(["sheets"]);
        Some(NonZeroU32::MIN)
    };
    let each = each(fields);
    let yields = SheetYield {
        sheet: sheet?,
        piece: piece?,
        layout: layout.unwrap_or(SheetLayout::Best),
        sheets: sheets?,
        each,
    };
    match yields.flaw() {
        Some(flaw) => {
            fields.note(impossible(fields, &yields, flaw));
            None
        }
        None => Some(yields),
    }
}

/// A sheet, or a tray.
pub(in crate::read) fn sheet(fields: &mut Fields<'_>) -> Option<Sheet> {
    let length = fields.required("length", above_zero);
    let width = fields.required("width", above_zero);
    let gap = fields.optional("gap", quantity);
    let edge = fields.optional("edge", quantity);
    Some(Sheet { length: length?, width: width?, gap, edge })
}

fn piece(fields: &mut Fields<'_>) -> Option<Outline> {
    let found: Vec<Form> = OUTLINES.into_iter().filter(|(key, _)| fields.has(key)).collect();
    if let [(key, _)] = found[..] {
        return outline(fields, key);
    }
    let keys = OUTLINES.map(|(key, _)| key);
    fields.know(keys);
    if found.is_empty() {
        let finding = Finding::error("no-piece", "the yield doesn't say what is cut")
            .at(fields.span_of("sheet"), "into what?")
            .hint(format!("add one of {}, such as `disc = \"7.5 cm\"`", either(&keys)));
        fields.missing(&keys, finding);
    } else {
        two_forms(fields, &found);
    }
    None
}

/// What a piece weighs, if that is said.
fn each(fields: &mut Fields<'_>) -> Option<PieceSize> {
    let mass = fields.optional("piece_mass", above_zero);
    let thickness = fields.optional("thickness", above_zero);
    if fields.has("piece_mass") && fields.has("thickness") {
        fields.note(
            Finding::error("two-piece-masses", "what a piece weighs is given twice")
                .at(fields.span_of("piece_mass"), "by its mass")
                .at(fields.span_of("thickness"), "and by its thickness")
                .hint("keep the mass; the thickness follows from it"),
        );
    }
    mass.map(PieceSize::Mass).or(thickness.map(PieceSize::Thickness))
}

fn impossible(fields: &Fields<'_>, yields: &SheetYield, flaw: ShapeFlaw) -> Finding {
    let finding = Finding::error("impossible-shape", flaw.to_string());
    let key = yields.piece.sizes()[0].0;
    let sheet = fields.span_of("sheet");
    match flaw {
        ShapeFlaw::AllEdge => finding
            .at(fields.span_of("sheet.edge"), "on all four sides")
            .at(sheet, "the sheet")
            .hint("an edge is kept free twice in each direction; give the width of one"),
        ShapeFlaw::NotStaggered => finding
            .at(fields.span_of("layout"), "staggered")
            .at(fields.span_of(key), "has corners")
            .hint("write `layout = \"rows\"`, or take it out"),
        ShapeFlaw::HoleTooLarge | ShapeFlaw::TubeTooThick | ShapeFlaw::DoesNotFit => finding
            .at(fields.span_of(key), "one piece")
            .at(sheet, "the sheet, its edges free")
            .hint("take a larger sheet, a smaller edge or a smaller piece; check the units"),
    }
}
