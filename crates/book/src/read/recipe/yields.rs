//! What one written batch makes.

use chablon_model::Yield;

use super::sheet;
use crate::Finding;
use crate::read::fields::Fields;
use crate::read::quantity::{above_zero, pieces};

/// A yield: by mass, by pieces, or by what sheets give.
pub(super) fn yields(fields: &mut Fields<'_>) -> Option<Yield> {
    if sheet::is_from_sheets(fields) {
        return from_sheets(fields);
    }
    let mass = fields.optional("mass", above_zero);
    let count = fields.optional("pieces", pieces);
    let piece_mass = fields.optional("piece_mass", above_zero);
    let outline = sheet::outline_beside(fields);
    sheet::know(fields);
    check_keys(fields);
    match (mass, count) {
        (Some(mass), None) => Some(Yield::Mass(mass)),
        (None, Some(count)) => Some(Yield::Pieces { count, piece_mass, outline: outline? }),
        _ => None,
    }
}

fn from_sheets(fields: &mut Fields<'_>) -> Option<Yield> {
    let made = sheet::sheet_yield(fields);
    fields.know(["mass", "pieces"]);
    let other = ["mass", "pieces"].into_iter().find(|key| fields.has(key));
    let Some(other) = other else { return made.map(Box::new).map(Yield::Sheet) };
    fields.note(
        Finding::error("two-yields", "the sizes of sheet and piece say how many there are")
            .at(fields.key_span(other), "so this says it again")
            .at(fields.span_of("sheet"), "cut from this")
            .hint(format!("take `{other}` out; what a piece weighs is its `piece_mass`")),
    );
    None
}

fn check_keys(fields: &Fields<'_>) {
    let [mass, pieces, piece_mass] =
        ["mass", "pieces", "piece_mass"].map(|key| fields.has(key).then(|| fields.span_of(key)));
    let finding = match (mass, pieces, piece_mass) {
        (Some(mass), Some(pieces), _) => {
            Finding::error("two-yields", "the yield is given twice, by mass and by pieces")
                .at(pieces, "by pieces")
                .at(mass, "and by mass")
                .hint("keep one; pieces with a `piece_mass` say the mass too")
        }
        (_, None, Some(piece_mass)) => {
            Finding::error("piece-mass-alone", "a mass of one piece doesn't say how many there are")
                .at(piece_mass, "of how many?")
                .hint("add `pieces = 48`")
        }
        (None, None, None) => Finding::error("empty-yield", "the yield says nothing")
            .at(fields.span(), "empty")
            .hint("add `mass = \"6 kg\"` or `pieces = 48`, or take it out: losses decide then"),
        _ => return,
    };
    fields.note(finding);
}
