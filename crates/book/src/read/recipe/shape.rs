//! Amounts by shape: flat pieces and fills of moulds.

use chablon_model::{Outline, Shape, ShapeAmount, ShapeFlaw};
use chablon_quantity::{Authored, LengthUnit};

use super::mould;
use crate::Finding;
use crate::read::fields::Fields;
use crate::read::quantity::{above_zero, part_of_whole};
use crate::read::value::Value;
use crate::suggest::either;

/// A key that says which shape a table gives, with what that is called in a message.
pub(super) type Form = (&'static str, &'static str);

/// The flat shapes.
pub(super) const OUTLINES: [Form; 4] = [
    ("disc", "a disc"),
    ("ring", "a ring"),
    ("rectangle", "a rectangle"),
    ("strip_around", "a strip"),
];

const SHAPES: [Form; 5] = [OUTLINES[0], OUTLINES[1], OUTLINES[2], OUTLINES[3], ("fill", "a fill")];

/// The keys that stand beside one of [`SHAPES`].
const BESIDE: [&str; 4] = ["thickness", "height", "share", "count"];

/// How much of something a line takes, by shape.
pub(super) fn amount(value: &Value<'_>) -> Option<ShapeAmount> {
    by_form(value, &SHAPES, &BESIDE, |fields, key| {
        let shape = if key == "fill" { fill(fields) } else { flat(fields, key) };
        let count = fields.optional("count", above_zero);
        Some(ShapeAmount { shape: shape?, count })
    })
}

fn flat(fields: &mut Fields<'_>, key: &'static str) -> Option<Shape> {
    let outline = outline(fields, key);
    let thickness = fields.required("thickness", above_zero);
    Some(Shape::Flat { outline: outline?, thickness: thickness? })
}

fn fill(fields: &mut Fields<'_>) -> Option<Shape> {
    let mould = fields.optional("fill", mould::mould);
    let share = fields.optional("share", part_of_whole);
    Some(Shape::Fill { mould: mould?, share })
}

/// A flat shape by its key, which is there, and by the keys that belong to it.
pub(super) fn outline(fields: &mut Fields<'_>, key: &'static str) -> Option<Outline> {
    let outline = match key {
        "disc" => Outline::Disc { diameter: fields.optional(key, above_zero)? },
        "ring" => {
            let [outer, inner] = fields.optional(key, pair)?;
            Outline::Ring { outer, inner }
        }
        "rectangle" => {
            let [length, width] = fields.optional(key, pair)?;
            Outline::Rectangle { length, width }
        }
        _ => {
            let diameter = fields.optional(key, above_zero);
            let height = fields.required("height", above_zero);
            Outline::StripAround { diameter: diameter?, height: height? }
        }
    };
    sound(outline, outline.flaw(), fields, key)
}

/// Notes sizes that can't be together, at the key that has them.
pub(super) fn sound<T>(
    shape: T,
    flaw: Option<ShapeFlaw>,
    fields: &Fields<'_>,
    key: &str,
) -> Option<T> {
    let Some(flaw) = flaw else { return Some(shape) };
    let hint = match flaw {
        ShapeFlaw::HoleTooLarge => "the outer diameter comes first; perhaps the two are exchanged",
        _ => "measure across the whole ring, and across its tube at the rim",
    };
    let finding = Finding::error("impossible-shape", flaw.to_string());
    fields.note(finding.at(fields.span_of(key), "these sizes").hint(hint));
    None
}

/// Two lengths.
pub(super) fn pair(value: &Value<'_>) -> Option<[Authored<LengthUnit>; 2]> {
    if !value.is_list() {
        return value.wrong_type("two lengths in a list");
    }
    let lengths = value.list(above_zero)?;
    lengths.try_into().ok().or_else(|| {
        let message = format!("`{}` takes two lengths", value.key);
        let finding = Finding::error("wrong-count", message).at(value.span, "not two");
        value.refuse(
            finding.hint(format!("write it as in `{} = [\"18 cm\", \"14 cm\"]`", value.key)),
        )
    })
}

/// A table whose form is said by one of its keys, the others being those of the form.
pub(super) fn by_form<T>(
    value: &Value<'_>,
    forms: &'static [Form],
    beside: &[&'static str],
    read: impl FnOnce(&mut Fields<'_>, &'static str) -> Option<T>,
) -> Option<T> {
    let found: Vec<Form> = forms.iter().copied().filter(|(key, _)| value.has(key)).collect();
    if let [(key, what)] = found[..] {
        return value.table(what, |fields| read(fields, key));
    }
    value.table("a shape", |fields| {
        let keys: Vec<&'static str> = forms.iter().map(|(key, _)| *key).collect();
        fields.know(keys.iter().chain(beside).copied());
        match found[..] {
            [] => fields.missing(&keys, no_form(fields, &keys)),
            _ => two_forms(fields, &found),
        }
        None
    })
}

fn no_form(fields: &Fields<'_>, keys: &[&str]) -> Finding {
    Finding::error("no-shape", "the sizes don't say of which shape they are")
        .at(fields.span(), "of what?")
        .hint(format!("add one of {}", either(keys)))
}

/// Notes that a table has the keys of several shapes.
pub(super) fn two_forms(fields: &Fields<'_>, found: &[Form]) {
    let names: Vec<&str> = found.iter().map(|(key, _)| *key).collect();
    let mut finding = Finding::error("two-shapes", "one shape at a time");
    for (key, what) in found {
        finding = finding.at(fields.key_span(key), *what);
    }
    fields.note(finding.hint(format!("keep one of {}", either(&names))));
}
