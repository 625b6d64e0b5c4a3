//! Geometry.

use chablon_arith::geometry::{
    Along, Fit, GeometryError, Layout, Mould, Outline, OvenPlan, Pattern, Sheet, Spacing,
};
use chablon_sdk::quantity::{Grams as _, Length, LengthUnit, Millilitres as _, Millimetres as _};
use serde_json::{Value, json};

use crate::given::{Answer, Given, Refusal, quantity};
use crate::numbers::{figure, percent};

impl From<GeometryError> for Refusal {
    fn from(error: GeometryError) -> Self {
        Self::Word(match error {
            GeometryError::NotAboveZero { .. } | GeometryError::NoRoom { .. } => "not-above-0",
            GeometryError::BelowZero { .. } => "below-0",
            GeometryError::HoleTooLarge { .. } => "hole-reaches-rim",
            GeometryError::TubeTooThick { .. } => "tube-too-thick",
            GeometryError::Fill { .. } => "bad-fill",
            GeometryError::AllEdge { .. } => "no-room",
            GeometryError::DoesNotFit { .. } => "does-not-fit",
            GeometryError::NotStaggered { .. } => "not-staggered",
            GeometryError::TooMany { .. } => "too-many",
        })
    }
}

fn outline(given: Given<'_>) -> Result<Outline, Refusal> {
    let length = |key| given.length(key);
    Ok(match given.text("shape") {
        "disc" => Outline::disc(length("diameter")?),
        "ring" => Outline::ring(length("outer")?, length("inner")?),
        "rectangle" => Outline::rectangle(length("length")?, length("width")?),
        "strip-around" => Outline::strip_around(length("diameter")?, length("width")?),
        other => panic!("`{other}` is no outline"),
    }?)
}

fn mould(given: Given<'_>) -> Result<Mould, Refusal> {
    let length = |key| given.length(key);
    Ok(match given.text("shape") {
        "straight" => Mould::straight(&outline(given.part("outline"))?, &length("height")?),
        "half-sphere" => Mould::half_sphere(length("diameter")?),
        "cone-frustum" => Mould::cone_frustum(length("top")?, length("bottom")?, length("height")?),
        "loaf" => Mould::loaf(sides(given, "top")?, sides(given, "bottom")?, length("height")?),
        "half-cylinder" => Mould::half_cylinder(length("diameter")?, length("length")?),
        "savarin" => Mould::savarin(length("outer")?, length("tube")?),
        other => panic!("`{other}` is no mould"),
    }?)
}

fn sides(given: Given<'_>, key: &str) -> Result<(Length, Length), Refusal> {
    let sides: Result<Vec<Length>, Refusal> =
        given.parts(key).map(|side| quantity::<LengthUnit>(side.itself())).collect();
    let [length, width] = <[Length; 2]>::try_from(sides?).expect("two sides");
    Ok((length, width))
}

pub(crate) fn area(given: Given<'_>) -> Answer {
    // A length is held in centimetres, so an area is in square centimetres.
    let area = outline(given.part("outline"))?.area().value;
    Ok(json!({"area_cm2": figure(&area, 3)}))
}

pub(crate) fn outline_mass(given: Given<'_>) -> Answer {
    let (outline, thickness) = (outline(given.part("outline"))?, given.length("thickness")?);
    let volume = outline.volume(&thickness)?.millilitres();
    let mass = outline.mass(&thickness, &given.density("density")?)?.grams();
    Ok(json!({"volume_ml": figure(&volume, 3), "mass_g": figure(&mass, 3)}))
}

pub(crate) fn outline_thickness(given: Given<'_>) -> Answer {
    let outline = outline(given.part("outline"))?;
    let thickness = outline.thickness(&given.mass("mass")?, &given.density("density")?)?;
    Ok(json!({"thickness_mm": figure(&thickness.millimetres(), 3)}))
}

pub(crate) fn mould_fill(given: Given<'_>) -> Answer {
    let mould = mould(given.part("mould"))?;
    let mut found = json!({"volume_ml": figure(&mould.volume().millilitres(), 3)});
    if given.has("density") {
        let mass = mould.fill(&given.share_or("fill", "100 %")?, &given.density("density")?)?;
        found["mass_g"] = figure(&mass.grams(), 3);
    }
    Ok(found)
}

pub(crate) fn mould_factor(given: Given<'_>) -> Answer {
    let (from, to) = (mould(given.part("from"))?, mould(given.part("to"))?);
    Ok(json!({"factor": figure(&from.factor_to(&to), 6)}))
}

pub(crate) fn fit(given: Given<'_>) -> Answer {
    let sides = given.part("sheet");
    let sheet = Sheet::new(sides.length("length")?, sides.length("width")?)?;
    let spacing = Spacing::gap(given.length_or("gap", "0 mm")?)?;
    let spacing = spacing.with_edge(given.length_or("edge", "0 mm")?)?;
    let fit: Fit = sheet.fit(&outline(given.part("piece"))?, &spacing)?;
    let layouts: Value = fit.layouts().iter().map(layout).collect();
    Ok(json!({"best": layout(fit.best()), "layouts": layouts}))
}

fn layout(layout: &Layout) -> Value {
    let (pattern, moved) = match layout.pattern {
        Pattern::Rows => ("rows", None),
        Pattern::Staggered { per_offset_row } => ("staggered", Some(per_offset_row)),
    };
    let along = match layout.along {
        Along::Length => "length",
        Along::Width => "width",
    };
    let mut shown = json!({
        "pattern": pattern,
        "along": along,
        "rows": layout.rows,
        "row": layout.per_row,
        "pieces": layout.pieces,
        "offcut_percent": percent(&layout.offcut.0),
    });
    if let Some(moved) = moved {
        shown["moved_row"] = moved.into();
    }
    shown
}

pub(crate) fn oven(given: Given<'_>) -> Answer {
    let (pieces, trays) = (given.whole("pieces"), given.whole("per_tray"));
    let plan = OvenPlan::new(pieces, trays, given.whole("per_load"))?;
    Ok(json!({
        "trays": plan.trays,
        "last_tray": plan.last_tray,
        "loads": plan.loads,
        "last_load": plan.last_load,
    }))
}
