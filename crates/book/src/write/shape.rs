//! Shapes and sheets.

use chablon_model::{
    Outline, PieceSize, Shape, ShapeAmount, Sheet, SheetLayout, SheetYield, Sizes,
};

use super::page::{Page, inline, one_or_list, pair};

/// An amount by shape, as a table on one line.
pub(super) fn amount(amount: &ShapeAmount) -> String {
    let mut pairs = match &amount.shape {
        Shape::Flat { outline, thickness } => {
            let mut pairs = sizes(&outline.sizes());
            pairs.push(pair("thickness", thickness));
            pairs
        }
        Shape::Fill { mould, share } => {
            let mould = inline(&sizes(&mould.sizes()));
            let share = share.map(|share| pair("share", share));
            std::iter::once(format!("fill = {mould}")).chain(share).collect()
        }
    };
    pairs.extend(amount.count.map(|count| pair("count", count)));
    inline(&pairs)
}

/// The keys of a yield from sheets.
pub(super) fn sheet_yield(page: &mut Page, made: &SheetYield) {
    page.raw("sheet", sheet(&made.sheet));
    outline(page, &made.piece);
    if made.layout != SheetLayout::Best {
        page.text("layout", made.layout.as_str());
    }
    if made.sheets.get() != 1 {
        page.raw("sheets", made.sheets);
    }
    match made.each {
        None => {}
        Some(PieceSize::Mass(mass)) => page.text("piece_mass", mass),
        Some(PieceSize::Thickness(thickness)) => page.text("thickness", thickness),
    }
}

fn sizes(sizes: &Sizes) -> Vec<String> {
    sizes.iter().map(|(key, values)| format!("{key} = {}", one_or_list(values))).collect()
}

/// A sheet or a tray, as a table on one line.
pub(super) fn sheet(sheet: &Sheet) -> String {
    let Sheet { length, width, gap, edge } = sheet;
    let sides = [pair("length", length), pair("width", width)];
    let free = [gap.map(|gap| pair("gap", gap)), edge.map(|edge| pair("edge", edge))];
    let pairs: Vec<String> = sides.into_iter().chain(free.into_iter().flatten()).collect();
    inline(&pairs)
}

/// The keys of an outline.
pub(super) fn outline(page: &mut Page, outline: &Outline) {
    for (key, values) in outline.sizes() {
        page.raw(key, one_or_list(&values));
    }
}
