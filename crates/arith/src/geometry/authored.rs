//! Shapes as a book has them.

use chablon_model::{self as model, SheetLayout, SheetYield};
use chablon_quantity::{Authored, Exact, Length, LengthUnit, Millimetres, Share, Volume};

use super::{Fit, GeometryError, Layout, Mould, Outline, Pattern, Sheet, Spacing};

impl TryFrom<&model::Outline> for Outline {
    type Error = GeometryError;

    fn try_from(outline: &model::Outline) -> Result<Self, GeometryError> {
        use model::Outline as Authored;
        match outline {
            Authored::Disc { diameter } => Self::disc(diameter.quantity()),
            Authored::Ring { outer, inner } => Self::ring(outer.quantity(), inner.quantity()),
            Authored::Rectangle { length, width } => {
                Self::rectangle(length.quantity(), width.quantity())
            }
            Authored::StripAround { diameter, height } => {
                Self::strip_around(diameter.quantity(), height.quantity())
            }
        }
    }
}

impl TryFrom<&model::Mould> for Mould {
    type Error = GeometryError;

    fn try_from(mould: &model::Mould) -> Result<Self, GeometryError> {
        use model::Mould as Authored;
        let of = Self::straight;
        match mould {
            Authored::Cylinder { diameter, height } => {
                Self::cylinder(diameter.quantity(), &height.quantity())
            }
            Authored::Ring { outer, inner, height } => {
                of(&Outline::ring(outer.quantity(), inner.quantity())?, &height.quantity())
            }
            Authored::Frame { length, width, height } => {
                of(&Outline::rectangle(length.quantity(), width.quantity())?, &height.quantity())
            }
            Authored::HalfSphere { diameter } => Self::half_sphere(diameter.quantity()),
            Authored::ConeFrustum { top, bottom, height } => {
                Self::cone_frustum(top.quantity(), bottom.quantity(), height.quantity())
            }
            Authored::Loaf { top_length, top_width, bottom_length, bottom_width, height } => {
                let top = (top_length.quantity(), top_width.quantity());
                let bottom = (bottom_length.quantity(), bottom_width.quantity());
                Self::loaf(top, bottom, height.quantity())
            }
            Authored::HalfCylinder { diameter, length } => {
                Self::half_cylinder(diameter.quantity(), length.quantity())
            }
            Authored::Savarin { outer, tube } => Self::savarin(outer.quantity(), tube.quantity()),
        }
    }
}

/// The volume of a shape.
pub fn volume(shape: &model::Shape) -> Result<Volume, GeometryError> {
    match shape {
        model::Shape::Flat { outline, thickness } => {
            Outline::try_from(outline)?.volume(&thickness.quantity())
        }
        model::Shape::Fill { mould, share } => {
            let whole = Share(Exact::from(1));
            let part = share.as_ref().map_or(whole, Authored::quantity);
            Mould::try_from(mould)?.part(&part)
        }
    }
}

/// How the pieces of a sheet yield lie on each of its sheets.
pub fn lay_out(yields: &SheetYield) -> Result<Layout, GeometryError> {
    let piece = Outline::try_from(&yields.piece)?;
    let fit = fit(&yields.sheet, &piece)?;
    let laid = match yields.layout {
        SheetLayout::Best => Some(fit.best()),
        SheetLayout::Rows => Some(fit.best_in_rows()),
        SheetLayout::Staggered => fit.best_staggered(),
    };
    laid.cloned().ok_or_else(|| GeometryError::NotStaggered { piece: piece.to_string() })
}

/// How many pieces a tray or a sheet takes, laid the way that gives most.
pub(crate) fn most_pieces(
    tray: &model::Sheet,
    piece: &model::Outline,
) -> Result<u64, GeometryError> {
    fit(tray, &Outline::try_from(piece)?).map(|fit| fit.best().pieces)
}

fn fit(sheet: &model::Sheet, piece: &Outline) -> Result<Fit, GeometryError> {
    let free = |size: &Option<Authored<LengthUnit>>| {
        size.as_ref().map_or_else(|| Length::of_millimetres(0), Authored::quantity)
    };
    let spacing = Spacing::gap(free(&sheet.gap))?.with_edge(free(&sheet.edge))?;
    Sheet::new(sheet.length.quantity(), sheet.width.quantity())?.fit(piece, &spacing)
}

/// The pattern of a layout as a book calls it.
impl From<Pattern> for SheetLayout {
    fn from(pattern: Pattern) -> Self {
        match pattern {
            Pattern::Rows => Self::Rows,
            Pattern::Staggered { .. } => Self::Staggered,
        }
    }
}
