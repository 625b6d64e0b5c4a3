//! What to order.

use chablon_quantity::{Exact, MoneyAmount};
use chablon_sdk::figures::{Costing, OrderLine};
use owo_colors::Style;

use super::super::listing::{Listing, Side};
use super::super::names::{Names, sort_key};
use super::table::INDENT;
use super::words::Words;

/// The packs, where they are bought, and since when their prices hold.
pub(super) fn order(costing: &Costing, names: &Names<'_>, width: usize) -> String {
    let words = Words(names.tongue);
    let left = Side::Left;
    let right = Side::Right;
    let mut listing = Listing::new(INDENT, [left, right, right, left, left, left, right]);
    listing.head([
        "",
        words.packs(),
        words.of(),
        words.supplier(),
        words.list(),
        words.since(),
        words.cost(),
    ]);
    let mut lines: Vec<&OrderLine> = costing.order.iter().filter(|line| line.packs > 0).collect();
    lines.sort_by_cached_key(|line| sort_key(names.ingredient(&line.ingredient)));
    for line in lines {
        listing.row(row(line, costing, names));
    }
    let total: Exact = costing.order.iter().map(|line| line.cost.exact()).sum();
    let total = names.tongue.fixed(&MoneyAmount::round_total(&total, costing.currency));
    listing.gap();
    listing.sum(words.order_total(), &total, Style::new().bold());
    listing.render(width)
}

fn row(line: &OrderLine, costing: &Costing, names: &Names<'_>) -> [String; 7] {
    let price = costing.ingredient(line.ingredient.as_str()).and_then(|one| one.price.as_ref());
    let of =
        |part: fn(&chablon_sdk::figures::PriceUsed) -> String| price.map(part).unwrap_or_default();
    let pack = price.map(|price| names.tongue.grams(price.pack_g.exact())).unwrap_or_default();
    [
        names.ingredient(&line.ingredient).to_owned(),
        line.packs.to_string(),
        pack,
        of(|price| price.supplier.as_ref().map(ToString::to_string).unwrap_or_default()),
        of(|price| price.list.to_string()),
        of(|price| price.from.to_string()),
        names.tongue.fixed(&line.cost.rounded()),
    ]
}
