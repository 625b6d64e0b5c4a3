//! Moulds, by the sizes of their inside.

use chablon_model::Mould;

use super::shape::{Form, by_form, pair, sound};
use crate::read::fields::Fields;
use crate::read::quantity::above_zero;
use crate::read::value::Value;

const MOULDS: [Form; 8] = [
    ("cylinder", "a cylinder"),
    ("ring", "a ring mould"),
    ("frame", "a frame"),
    ("half_sphere", "a half sphere"),
    ("cone_frustum", "a cone cut level"),
    ("loaf", "a loaf tin"),
    ("half_cylinder", "a half cylinder"),
    ("savarin", "a savarin mould"),
];

/// The keys that stand beside one of [`MOULDS`].
const BESIDE: [&str; 4] = ["height", "bottom", "length", "tube"];

/// A mould.
pub(super) fn mould(value: &Value<'_>) -> Option<Mould> {
    by_form(value, &MOULDS, &BESIDE, |fields, key| {
        let mould = match key {
            "cylinder" | "half_sphere" | "half_cylinder" | "savarin" => round(fields, key),
            _ => two_sizes(fields, key),
        }?;
        sound(mould, mould.flaw(), fields, key)
    })
}

/// Moulds whose key has one size.
fn round(fields: &mut Fields<'_>, key: &'static str) -> Option<Mould> {
    let across = fields.optional(key, above_zero);
    let other = match key {
        "cylinder" => fields.required("height", above_zero),
        "half_cylinder" => fields.required("length", above_zero),
        "savarin" => fields.required("tube", above_zero),
        _ => return across.map(|diameter| Mould::HalfSphere { diameter }),
    };
    let (across, other) = (across?, other?);
    Some(match key {
        "cylinder" => Mould::Cylinder { diameter: across, height: other },
        "half_cylinder" => Mould::HalfCylinder { diameter: across, length: other },
        _ => Mould::Savarin { outer: across, tube: other },
    })
}

/// Moulds whose key has two sizes.
fn two_sizes(fields: &mut Fields<'_>, key: &'static str) -> Option<Mould> {
    let sizes = fields.optional(key, pair);
    let bottom = if key == "loaf" { fields.required("bottom", pair) } else { None };
    let height = fields.required("height", above_zero);
    let ([first, second], height) = (sizes?, height?);
    Some(match key {
        "ring" => Mould::Ring { outer: first, inner: second, height },
        "frame" => Mould::Frame { length: first, width: second, height },
        "cone_frustum" => Mould::ConeFrustum { top: first, bottom: second, height },
        _ => {
            let [bottom_length, bottom_width] = bottom?;
            Mould::Loaf {
                top_length: first,
                top_width: second,
                bottom_length,
                bottom_width,
                height,
            }
        }
    })
}
