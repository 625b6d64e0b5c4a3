//! Shapes and sheets.

use chablon_wire::{decode_revision, pb};
use prost::Message;

use super::{decimal, grams, percent, recipe, refused_recipe};

fn cm(centimetres: i64) -> Option<pb::Length> {
    let unit = pb::LengthUnit::Centimetre as i32;
    Some(pb::Length { number: decimal(centimetres, 0), unit })
}

fn outline(form: pb::outline::Form) -> Option<pb::Outline> {
    Some(pb::Outline { form: Some(form) })
}

fn disc(centimetres: i64) -> Option<pb::Outline> {
    cm(centimetres).and_then(|disc| outline(pb::outline::Form::Disc(disc)))
}

/// A recipe whose second line has this amount.
fn taking(form: pb::shape_amount::Form, count: Option<i64>) -> impl FnOnce(&mut pb::Recipe) {
    let count = count.map(|count| pb::Count { number: decimal(count, 0) });
    let amount = pb::ShapeAmount { form: Some(form), count };
    move |recipe| recipe.lines[1].amount = Some(pb::line::Amount::Shape(amount))
}

fn flat(outline: Option<pb::Outline>, thickness: Option<pb::Length>) -> pb::shape_amount::Form {
    pb::shape_amount::Form::Flat(pb::FlatShape { outline, thickness })
}

fn fill(form: pb::mould::Form, share: Option<pb::Percent>) -> pb::shape_amount::Form {
    let mould = Some(pb::Mould { form: Some(form) });
    pb::shape_amount::Form::Fill(pb::MouldFill { mould, share })
}

const AT: &str = "recipe.lines[1].amount.shape";

#[test]
fn flat_shapes() {
    let refused = |form, count, refusal: &str| {
        refused_recipe(taking(form, count), &format!("{AT}.{refusal}"));
    };
    refused(flat(None, cm(1)), None, "form.flat.outline: is required");
    refused(flat(disc(16), None), None, "form.flat.thickness: is required");
    refused(flat(disc(16), cm(0)), None, "form.flat.thickness.number: must be more than 0");
    refused(flat(disc(0), cm(1)), None, "form.flat.outline.disc.number: must be more than 0");
    refused(
        flat(disc(-1), cm(1)),
        None,
        "form.flat.outline.disc.number: `-1` is below zero, which a length can't be",
    );
    let ring = pb::RingOutline { outer: cm(14), inner: cm(14) };
    refused(
        flat(outline(pb::outline::Form::Ring(ring)), cm(1)),
        None,
        "form.flat.outline.ring.inner: a hole must be smaller than the ring around it",
    );
    let strip = pb::StripOutline { diameter: cm(16), height: None };
    refused(
        flat(outline(pb::outline::Form::StripAround(strip)), cm(1)),
        None,
        "form.flat.outline.strip_around.height: is required",
    );
    let rectangle = pb::RectangleOutline { length: cm(16), width: None };
    refused(
        flat(outline(pb::outline::Form::Rectangle(rectangle)), cm(1)),
        None,
        "form.flat.outline.rectangle.width: is required",
    );
    refused(flat(disc(16), cm(1)), Some(0), "count.number: must be more than 0");
    refused_recipe(
        |recipe| {
            recipe.lines[1].amount = Some(pb::line::Amount::Shape(pb::ShapeAmount::default()));
        },
        &format!("{AT}.form: is required"),
    );
}

#[test]
fn fills_of_moulds() {
    let refused = |form, share, refusal: &str| {
        refused_recipe(taking(fill(form, share), None), &format!("{AT}.form.fill.{refusal}"));
    };
    let sphere = || pb::mould::Form::HalfSphere(cm(7).unwrap());
    refused(sphere(), percent(0), "share.number: must be more than 0");
    refused(sphere(), percent(101), "share.number: must be at most 100");
    let ring = pb::RingMould { outer: cm(18), inner: cm(24), height: cm(4) };
    refused(
        pb::mould::Form::Ring(ring),
        None,
        "mould.ring.inner: a hole must be smaller than the ring around it",
    );
    let savarin = pb::SavarinMould { outer: cm(18), tube: cm(10) };
    refused(
        pb::mould::Form::Savarin(savarin),
        None,
        "mould.savarin.tube: the tube of a ring can be half as wide as the ring at the most",
    );
    let loaf = pb::LoafMould { top_length: cm(22), top_width: cm(11), ..pb::LoafMould::default() };
    refused(pb::mould::Form::Loaf(loaf), None, "mould.loaf.bottom_length: is required");
    let whole = pb::CylinderMould { diameter: cm(16), height: cm(4) };
    let taken = recipe(taking(fill(pb::mould::Form::Cylinder(whole), percent(100)), Some(3)));
    assert!(decode_revision(&taken.encode_to_vec()).is_ok());
}

/// A recipe that yields discs of 16 cm from a sheet of 60 x 40 cm, after a change.
fn from_sheets(change: impl FnOnce(&mut pb::SheetYield)) -> impl FnOnce(&mut pb::Recipe) {
    let sheet = pb::Sheet { length: cm(60), width: cm(40), gap: None, edge: None };
    let mut made = pb::SheetYield {
        sheet: Some(sheet),
        piece: disc(16),
        layout: pb::SheetLayout::Best as i32,
        sheets: 1,
        each: grams(90).map(pb::sheet_yield::Each::PieceMass),
    };
    change(&mut made);
    let declared = Some(pb::r#yield::Declared::Sheet(made));
    move |recipe| recipe.r#yield = Some(pb::Yield { declared })
}

#[test]
fn sheets() {
    let taken = recipe(from_sheets(|_| ()));
    assert!(decode_revision(&taken.encode_to_vec()).is_ok());
    let refused = |change: &dyn Fn(&mut pb::SheetYield), refusal: &str| {
        refused_recipe(from_sheets(change), &format!("recipe.yield.sheet.{refusal}"));
    };
    refused(&|made| made.sheet = None, "sheet: is required");
    refused(&|made| made.piece = None, "piece: is required");
    refused(&|made| made.layout = 0, "layout: is required");
    refused(&|made| made.sheets = 0, "sheets: is required");
    refused(&|made| made.piece = disc(41), "piece: not even one piece fits on the sheet");
    let edge = |made: &mut pb::SheetYield, edge| made.sheet.as_mut().unwrap().edge = cm(edge);
    refused(&|made| edge(made, 13), "piece: not even one piece fits on the sheet");
    refused(&|made| edge(made, 20), "sheet.edge: the edges leave nothing of the sheet");
    refused(
        &|made| edge(made, -1),
        "sheet.edge.number: `-1` is below zero, which a length can't be",
    );
    let square = || pb::RectangleOutline { length: cm(10), width: cm(10) };
    refused(
        &|made| {
            made.piece = outline(pb::outline::Form::Rectangle(square()));
            made.layout = pb::SheetLayout::Staggered as i32;
        },
        "layout: only discs and rings can lie staggered",
    );
    refused(
        &|made| made.each = cm(0).map(pb::sheet_yield::Each::Thickness),
        "each.thickness.number: must be more than 0",
    );
}
