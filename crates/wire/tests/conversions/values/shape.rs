//! Arbitrary shapes and sheets.

use std::num::NonZeroU32;

use chablon_model::{
    Mould, Outline, PieceSize, Shape, ShapeAmount, Sheet, SheetLayout, SheetYield,
};
use chablon_quantity::{Authored, LengthUnit, Number};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

use super::quantity::{any_of, mass, part, positive};

type Size = Authored<LengthUnit>;

/// From 51 to 99, in centimetres.
fn large() -> impl Strategy<Value = Size> + Clone {
    (51..=99_i64).prop_map(|n| Authored::new(Number::whole(n), LengthUnit::Centimetre))
}

/// From 1 to 250, in millimetres: less than half of anything [`large`].
fn small() -> impl Strategy<Value = Size> + Clone {
    (1..=250_i64).prop_map(|n| Authored::new(Number::whole(n), LengthUnit::Millimetre))
}

pub(crate) fn outline() -> BoxedStrategy<Outline> {
    prop_oneof![
        positive().prop_map(|diameter| Outline::Disc { diameter }),
        (large(), small()).prop_map(|(outer, inner)| Outline::Ring { outer, inner }),
        (positive(), positive()).prop_map(|(length, width)| Outline::Rectangle { length, width }),
        (positive(), positive())
            .prop_map(|(diameter, height)| Outline::StripAround { diameter, height }),
    ]
    .boxed()
}

fn mould() -> BoxedStrategy<Mould> {
    let sizes = || (positive(), positive(), positive());
    prop_oneof![
        sizes().prop_map(|(diameter, height, _)| Mould::Cylinder { diameter, height }),
        (large(), small(), positive()).prop_map(|(outer, inner, height)| Mould::Ring {
            outer,
            inner,
            height
        }),
        sizes().prop_map(|(length, width, height)| Mould::Frame { length, width, height }),
        positive().prop_map(|diameter| Mould::HalfSphere { diameter }),
        sizes().prop_map(|(top, bottom, height)| Mould::ConeFrustum { top, bottom, height }),
        (sizes(), positive(), positive()).prop_map(
            |((top_length, top_width, height), bottom_length, bottom_width)| Mould::Loaf {
                top_length,
                top_width,
                bottom_length,
                bottom_width,
                height,
            },
        ),
        sizes().prop_map(|(diameter, length, _)| Mould::HalfCylinder { diameter, length }),
        (large(), small()).prop_map(|(outer, tube)| Mould::Savarin { outer, tube }),
    ]
    .boxed()
}

pub(crate) fn shape_amount() -> BoxedStrategy<ShapeAmount> {
    let flat =
        (outline(), positive()).prop_map(|(outline, thickness)| Shape::Flat { outline, thickness });
    let fill =
        (mould(), option::of(part())).prop_map(|(mould, share)| Shape::Fill { mould, share });
    (prop_oneof![flat, fill], option::of(positive()))
        .prop_map(|(shape, count)| ShapeAmount { shape, count })
        .boxed()
}

pub(crate) fn sheet_yield() -> BoxedStrategy<SheetYield> {
    let narrow =
        (0..=100_i64).prop_map(|n| Authored::new(Number::whole(n), LengthUnit::Millimetre));
    let sheet = (large(), large(), option::of(any_of()), option::of(narrow))
        .prop_map(|(length, width, gap, edge)| Sheet { length, width, gap, edge });
    let round = prop_oneof![
        small().prop_map(|diameter| Outline::Disc { diameter }),
        (2..=250_i64, 1..=99_u64).prop_map(|(outer, below)| Outline::Ring {
            outer: Authored::new(Number::whole(outer), LengthUnit::Millimetre),
            inner: Authored::new(Number::fraction(0, 1, below).unwrap(), LengthUnit::Millimetre),
        }),
    ];
    let cornered =
        (small(), small()).prop_map(|(length, width)| Outline::Rectangle { length, width });
    let strip =
        (small(), small()).prop_map(|(diameter, height)| Outline::StripAround { diameter, height });
    let in_rows = select(vec![SheetLayout::Best, SheetLayout::Rows]);
    let laid =
        prop_oneof![(round, select(SheetLayout::ALL)), (prop_oneof![cornered, strip], in_rows)];
    let each =
        prop_oneof![mass().prop_map(PieceSize::Mass), positive().prop_map(PieceSize::Thickness)];
    (sheet, laid, 1..=u32::MAX, option::of(each))
        .prop_map(|(sheet, (piece, layout), sheets, each)| SheetYield {
            sheet,
            piece,
            layout,
            sheets: NonZeroU32::new(sheets).unwrap(),
            each,
        })
        .boxed()
}
