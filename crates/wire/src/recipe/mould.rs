//! Moulds.

use chablon_model::Mould;
use pb::mould::Form;

use super::shape::refusal;
use crate::form::Wire;
use crate::quantity::some;
use crate::{At, Violation, pb};

impl Wire for Mould {
    type Pb = pb::Mould;

    fn to_pb(&self) -> pb::Mould {
        let form = match self {
            Self::Cylinder { diameter, height } => Form::Cylinder(pb::CylinderMould {
                diameter: Some(diameter.to_pb()),
                height: Some(height.to_pb()),
            }),
            Self::Ring { outer, inner, height } => Form::Ring(pb::RingMould {
                outer: Some(outer.to_pb()),
                inner: Some(inner.to_pb()),
                height: Some(height.to_pb()),
            }),
            Self::Frame { length, width, height } => Form::Frame(pb::FrameMould {
                length: Some(length.to_pb()),
                width: Some(width.to_pb()),
                height: Some(height.to_pb()),
            }),
            Self::HalfSphere { diameter } => Form::HalfSphere(diameter.to_pb()),
            Self::ConeFrustum { top, bottom, height } => Form::ConeFrustum(pb::ConeFrustumMould {
                top: Some(top.to_pb()),
                bottom: Some(bottom.to_pb()),
                height: Some(height.to_pb()),
            }),
            Self::Loaf { top_length, top_width, bottom_length, bottom_width, height } => {
                Form::Loaf(pb::LoafMould {
                    top_length: Some(top_length.to_pb()),
                    top_width: Some(top_width.to_pb()),
                    bottom_length: Some(bottom_length.to_pb()),
                    bottom_width: Some(bottom_width.to_pb()),
                    height: Some(height.to_pb()),
                })
            }
            Self::HalfCylinder { diameter, length } => Form::HalfCylinder(pb::HalfCylinderMould {
                diameter: Some(diameter.to_pb()),
                length: Some(length.to_pb()),
            }),
            Self::Savarin { outer, tube } => Form::Savarin(pb::SavarinMould {
                outer: Some(outer.to_pb()),
                tube: Some(tube.to_pb()),
            }),
        };
        pb::Mould { form: Some(form) }
    }

    fn from_pb(mould: pb::Mould) -> Result<Self, Violation> {
        match mould.form.ok_or_else(Violation::required)? {
            Form::Cylinder(form) => cylinder(form).at("cylinder"),
            Form::Ring(form) => ring(form).at("ring"),
            Form::Frame(form) => frame(form).at("frame"),
            Form::HalfSphere(form) => {
                some(Some(form), "half_sphere").map(|diameter| Self::HalfSphere { diameter })
            }
            Form::ConeFrustum(form) => cone_frustum(form).at("cone_frustum"),
            Form::Loaf(form) => loaf(form).at("loaf"),
            Form::HalfCylinder(form) => half_cylinder(form).at("half_cylinder"),
            Form::Savarin(form) => savarin(form).at("savarin"),
        }
    }
}

/// Refuses sizes that can't be together, at the one that is likely wrong.
fn sound(mould: Mould, field: &str) -> Result<Mould, Violation> {
    match mould.flaw() {
        Some(flaw) => Err(refusal(flaw).at(field)),
        None => Ok(mould),
    }
}

fn cylinder(form: pb::CylinderMould) -> Result<Mould, Violation> {
    Ok(Mould::Cylinder {
        diameter: some(form.diameter, "diameter")?,
        height: some(form.height, "height")?,
    })
}

fn ring(form: pb::RingMould) -> Result<Mould, Violation> {
    let mould = Mould::Ring {
        outer: some(form.outer, "outer")?,
        inner: some(form.inner, "inner")?,
        height: some(form.height, "height")?,
    };
    sound(mould, "inner")
}

fn frame(form: pb::FrameMould) -> Result<Mould, Violation> {
    Ok(Mould::Frame {
        length: some(form.length, "length")?,
        width: some(form.width, "width")?,
        height: some(form.height, "height")?,
    })
}

fn cone_frustum(form: pb::ConeFrustumMould) -> Result<Mould, Violation> {
    Ok(Mould::ConeFrustum {
        top: some(form.top, "top")?,
        bottom: some(form.bottom, "bottom")?,
        height: some(form.height, "height")?,
    })
}

fn loaf(form: pb::LoafMould) -> Result<Mould, Violation> {
    Ok(Mould::Loaf {
        top_length: some(form.top_length, "top_length")?,
        top_width: some(form.top_width, "top_width")?,
        bottom_length: some(form.bottom_length, "bottom_length")?,
        bottom_width: some(form.bottom_width, "bottom_width")?,
        height: some(form.height, "height")?,
    })
}

fn half_cylinder(form: pb::HalfCylinderMould) -> Result<Mould, Violation> {
    Ok(Mould::HalfCylinder {
        diameter: some(form.diameter, "diameter")?,
        length: some(form.length, "length")?,
    })
}

fn savarin(form: pb::SavarinMould) -> Result<Mould, Violation> {
    let mould =
        Mould::Savarin { outer: some(form.outer, "outer")?, tube: some(form.tube, "tube")? };
    sound(mould, "tube")
}
