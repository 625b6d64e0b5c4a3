//! What one written batch makes.

use chablon_model::Yield;

use crate::Finding;
use crate::read::fields::Fields;
use crate::read::quantity::{above_zero, pieces};

/// A yield: by mass, or by pieces.
pub(super) fn yields(fields: &mut Fields<'_>) -> Option<Yield> {
    let mass = fields.optional("mass", above_zero);
    let count = fields.optional("pieces", pieces);
    let piece_mass = fields.optional("piece_mass", above_zero);
    check_keys(fields);
    match (mass, count) {
        (Some(mass), None) => Some(Yield::Mass(mass)),
        (None, Some(count)) => Some(Yield::Pieces { count, piece_mass }),
        _ => None,
    }
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
