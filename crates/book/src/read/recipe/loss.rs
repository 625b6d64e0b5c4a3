//! What is lost on the way.

use chablon_model::{Loss, LossKind};

use crate::Finding;
use crate::read::fields::Fields;
use crate::read::quantity::{below_whole, quantity};
use crate::read::value::Value;

/// A loss: a fraction at a stage, or a residue.
pub(super) fn loss(fields: &mut Fields<'_>) -> Option<Loss> {
    let stage = fields.optional("stage", Value::text);
    let kind = kind(fields);
    let fraction = fields.optional("fraction", below_whole);
    let residue = fields.optional("residue", quantity);
    match (fields.has("fraction"), fields.has("residue")) {
        (true, false) => Some(Loss::Stage { stage, kind: kind?, fraction: fraction? }),
        (false, true) => {
            check_residue(fields);
            residue.map(|mass| Loss::Residue { stage, mass })
        }
        (both, _) => {
            fields.note(unclear(fields, both));
            None
        }
    }
}

fn kind(fields: &mut Fields<'_>) -> Option<LossKind> {
    let read = |value: &Value<'_>| value.one_of(LossKind::ALL, LossKind::as_str);
    if fields.has("fraction") {
        fields.required("kind", read)
    } else {
        fields.optional("kind", read)
    }
}

fn check_residue(fields: &Fields<'_>) {
    if fields.has("kind") {
        fields.note(
            Finding::error("residue-kind", "a residue has no `kind`: the mix itself stays behind")
                .at(fields.span_of("kind"), "not of a residue")
                .hint("take `kind` out, or give a `fraction` instead of the residue"),
        );
    }
}

fn unclear(fields: &Fields<'_>, both: bool) -> Finding {
    if both {
        Finding::error("two-losses", "a loss is a fraction or a residue, not both")
            .at(fields.span_of("residue"), "a mass that stays behind")
            .at(fields.span_of("fraction"), "and a part of what is there")
            .hint("make two losses of it, in the order in which they happen")
    } else {
        Finding::error("empty-loss", "the loss doesn't say how much is lost")
            .at(fields.span(), "how much?")
            .hint("add `fraction = \"4 %\"` with its `kind`, or `residue = \"30 g\"`")
    }
}
