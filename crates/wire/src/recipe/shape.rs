//! Flat shapes and amounts by shape.

use chablon_model::{Outline, Shape, ShapeAmount, ShapeFlaw};

use crate::form::{Wire, required, to_optional};
use crate::quantity::{part, some, some_or_unset};
use crate::{At, Violation, pb};

impl Wire for ShapeAmount {
    type Pb = pb::ShapeAmount;

    fn to_pb(&self) -> pb::ShapeAmount {
        let form = match &self.shape {
            Shape::Flat { outline, thickness } => pb::shape_amount::Form::Flat(pb::FlatShape {
                outline: Some(outline.to_pb()),
                thickness: Some(thickness.to_pb()),
            }),
            Shape::Fill { mould, share } => pb::shape_amount::Form::Fill(pb::MouldFill {
                mould: Some(mould.to_pb()),
                share: to_optional(share.as_ref()),
            }),
        };
        pb::ShapeAmount { form: Some(form), count: to_optional(self.count.as_ref()) }
    }

    fn from_pb(amount: pb::ShapeAmount) -> Result<Self, Violation> {
        Ok(Self {
            shape: shape(amount.form).at("form")?,
            count: some_or_unset(amount.count, "count")?,
        })
    }
}

fn shape(form: Option<pb::shape_amount::Form>) -> Result<Shape, Violation> {
    match form.ok_or_else(Violation::required)? {
        pb::shape_amount::Form::Flat(flat) => flat_shape(flat).at("flat"),
        pb::shape_amount::Form::Fill(fill) => mould_fill(fill).at("fill"),
    }
}

fn flat_shape(flat: pb::FlatShape) -> Result<Shape, Violation> {
    Ok(Shape::Flat {
        outline: required(flat.outline, "outline")?,
        thickness: some(flat.thickness, "thickness")?,
    })
}

fn mould_fill(fill: pb::MouldFill) -> Result<Shape, Violation> {
    let share = fill.share.map(|share| part(Some(share), "share")).transpose()?;
    Ok(Shape::Fill { mould: required(fill.mould, "mould")?, share })
}

impl Wire for Outline {
    type Pb = pb::Outline;

    fn to_pb(&self) -> pb::Outline {
        use pb::outline::Form;
        let form = match self {
            Self::Disc { diameter } => Form::Disc(diameter.to_pb()),
            Self::Ring { outer, inner } => Form::Ring(pb::RingOutline {
                outer: Some(outer.to_pb()),
                inner: Some(inner.to_pb()),
            }),
            Self::Rectangle { length, width } => Form::Rectangle(pb::RectangleOutline {
                length: Some(length.to_pb()),
                width: Some(width.to_pb()),
            }),
            Self::StripAround { diameter, height } => Form::StripAround(pb::StripOutline {
                diameter: Some(diameter.to_pb()),
                height: Some(height.to_pb()),
            }),
        };
        pb::Outline { form: Some(form) }
    }

    fn from_pb(outline: pb::Outline) -> Result<Self, Violation> {
        use pb::outline::Form;
        match outline.form.ok_or_else(Violation::required)? {
            Form::Disc(disc) => some(Some(disc), "disc").map(|diameter| Self::Disc { diameter }),
            Form::Ring(ring) => ring_outline(ring).at("ring"),
            Form::Rectangle(rectangle) => rectangle_outline(rectangle).at("rectangle"),
            Form::StripAround(strip) => strip_outline(strip).at("strip_around"),
        }
    }
}

fn ring_outline(ring: pb::RingOutline) -> Result<Outline, Violation> {
    let outline =
        Outline::Ring { outer: some(ring.outer, "outer")?, inner: some(ring.inner, "inner")? };
    match outline.flaw() {
        Some(flaw) => Err(refusal(flaw).at("inner")),
        None => Ok(outline),
    }
}

fn rectangle_outline(rectangle: pb::RectangleOutline) -> Result<Outline, Violation> {
    Ok(Outline::Rectangle {
        length: some(rectangle.length, "length")?,
        width: some(rectangle.width, "width")?,
    })
}

fn strip_outline(strip: pb::StripOutline) -> Result<Outline, Violation> {
    Ok(Outline::StripAround {
        diameter: some(strip.diameter, "diameter")?,
        height: some(strip.height, "height")?,
    })
}

pub(crate) fn refusal(flaw: ShapeFlaw) -> Violation {
    Violation::new(flaw.to_string())
}
