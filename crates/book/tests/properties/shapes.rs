//! Any shape that can be, and any sheet that holds a piece.

use std::num::NonZeroU32;

use chablon_model::{
    Mould, Outline, PieceSize, Shape, ShapeAmount, Sheet, SheetLayout, SheetYield,
};
use chablon_quantity::{Authored, LengthUnit};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

use crate::quantities::{any_of, share, whole};

type Size = Authored<LengthUnit>;

fn size() -> BoxedStrategy<Size> {
    any_of()
}

/// The smaller of the two is in millimetres, the larger in centimetres.
fn ring() -> impl Strategy<Value = (Size, Size)> {
    (whole(LengthUnit::Centimetre, 10..=99), whole(LengthUnit::Millimetre, 1..=50))
}

pub(crate) fn outline() -> BoxedStrategy<Outline> {
    prop_oneof![
        size().prop_map(|diameter| Outline::Disc { diameter }),
        ring().prop_map(|(outer, inner)| Outline::Ring { outer, inner }),
        (size(), size()).prop_map(|(length, width)| Outline::Rectangle { length, width }),
        (size(), size()).prop_map(|(diameter, height)| Outline::StripAround { diameter, height }),
    ]
    .boxed()
}

fn mould() -> impl Strategy<Value = Mould> {
    let sizes = || (size(), size(), size());
    prop_oneof![
        sizes().prop_map(|(diameter, height, _)| Mould::Cylinder { diameter, height }),
        (ring(), size()).prop_map(|((outer, inner), height)| Mould::Ring { outer, inner, height }),
        sizes().prop_map(|(length, width, height)| Mould::Frame { length, width, height }),
        size().prop_map(|diameter| Mould::HalfSphere { diameter }),
        sizes().prop_map(|(top, bottom, height)| Mould::ConeFrustum { top, bottom, height }),
        (sizes(), size(), size()).prop_map(
            |((top_length, top_width, height), bottom_length, bottom_width)| Mould::Loaf {
                top_length,
                top_width,
                bottom_length,
                bottom_width,
                height,
            },
        ),
        sizes().prop_map(|(diameter, length, _)| Mould::HalfCylinder { diameter, length }),
        ring().prop_map(|(outer, tube)| Mould::Savarin { outer, tube }),
    ]
}

/// Any amount by shape.
pub(crate) fn shape_amount() -> impl Strategy<Value = ShapeAmount> {
    let flat =
        (outline(), size()).prop_map(|(outline, thickness)| Shape::Flat { outline, thickness });
    let fill =
        (mould(), option::of(share(100))).prop_map(|(mould, share)| Shape::Fill { mould, share });
    (prop_oneof![flat, fill], option::of(any_of()))
        .prop_map(|(shape, count)| ShapeAmount { shape, count })
}

/// A sheet of 30 to 60 cm with edges up to 5 cm, and a piece of 20 cm at the most.
pub(crate) fn sheet_yield() -> BoxedStrategy<SheetYield> {
    let side = || whole(LengthUnit::Centimetre, 30..=60);
    let free = || option::of(whole(LengthUnit::Millimetre, 0..=50));
    let sheet = (side(), side(), free(), free()).prop_map(|(length, width, gap, edge)| Sheet {
        length,
        width,
        gap,
        edge,
    });
    let each =
        prop_oneof![any_of().prop_map(PieceSize::Mass), any_of().prop_map(PieceSize::Thickness),];
    (sheet, laid(), 1..=u32::MAX, option::of(each))
        .prop_map(|(sheet, (piece, layout), sheets, each)| SheetYield {
            sheet,
            piece,
            layout,
            sheets: NonZeroU32::new(sheets).unwrap(),
            each,
        })
        .boxed()
}

fn laid() -> impl Strategy<Value = (Outline, SheetLayout)> {
    let small = || whole(LengthUnit::Millimetre, 51..=200);
    let round = prop_oneof![
        small().prop_map(|diameter| Outline::Disc { diameter }),
        (small(), whole(LengthUnit::Millimetre, 1..=50))
            .prop_map(|(outer, inner)| Outline::Ring { outer, inner }),
    ];
    let cornered = prop_oneof![
        (small(), small()).prop_map(|(length, width)| Outline::Rectangle { length, width }),
        (whole(LengthUnit::Millimetre, 51..=90), small())
            .prop_map(|(diameter, height)| Outline::StripAround { diameter, height }),
    ];
    let in_rows = select(vec![SheetLayout::Best, SheetLayout::Rows]);
    prop_oneof![(round, select(SheetLayout::ALL)), (cornered, in_rows)]
}
