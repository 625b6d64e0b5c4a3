//! What it costs.

use super::shows;

#[test]
fn one_site_has_a_new_supplier() {
    let price = "supplier = \"honey-2\"";
    let another = "supplier = \"honey-2\"\n\n[[price]]\ningredient = \"honey-acacia\"\n\
                   pack = \"12 kg\"\nprice = \"118.00 EUR\"\nfrom = 2026-11-20\n\
                   supplier = \"honey-3\"";
    shows!([("prices/harbour.toml", price, another)], @"
    cost
      cost   recipe/honey-loaf: food at `harbour` costs 1.6048 EUR a piece instead of 1.6303 EUR a piece, -1.57 %
      cost   recipe/pear-buckwheat-entremet: food at `harbour` costs 0.7313 EUR a piece instead of 0.7391 EUR a piece, -1.05 %
      cost   prices/harbour: price of `honey-acacia` added: 12 kg for 118.00 EUR from 2026-11-20 by honey-3
    ");
}

#[test]
fn a_price_is_gone_and_none_stands_in_for_it() {
    let file = crate::book::file("prices/group.toml");
    let start = file.find("[[price]]\ningredient = \"pear-brandy\"").unwrap();
    let end = file[start + 1..].find("[[").map_or(file.len(), |at| start + 1 + at);
    shows!([("prices/group.toml", &file[start..end], "")], @"
    cost
      cost   recipe/pear-buckwheat-entremet: food at `harbour` costs at least 0.7341 EUR a piece instead of 0.7391 EUR a piece
      cost   recipe/pear-buckwheat-entremet: food at `millrace` costs at least 0.6460 GBP a piece instead of 0.6502 GBP a piece
      cost   recipe/pear-buckwheat-entremet: food at `station` costs at least 0.7104 EUR a piece instead of 0.7154 EUR a piece
      cost   prices/group: price of `pear-brandy` removed: 1 L for 23.80 EUR from 2026-06-01 by spirit-1
    ");
}

#[test]
fn more_of_what_is_bought_is_waste() {
    shows!([("ingredients/nuts-seeds.toml", "edible_yield = \"97 %\"", "edible_yield = \"95 %\"")], @"
    cost
      cost   ingredient/hazelnut-whole: edible yield 95 % instead of 97 %
      cost   recipe/pear-buckwheat-entremet: food at `harbour` costs 0.7394 EUR a piece instead of 0.7391 EUR a piece, +0.05 %
      cost   recipe/pear-buckwheat-entremet: food at `millrace` costs 0.6505 GBP a piece instead of 0.6502 GBP a piece, +0.05 %
      cost   recipe/pear-buckwheat-entremet: food at `station` costs 0.7157 EUR a piece instead of 0.7154 EUR a piece, +0.05 %
      in hazelnut-choux -> praline-cream -> hazelnut-praline-paste -> hazelnut-whole
      in pear-buckwheat-entremet -> buckwheat-crunch -> hazelnut-praline-paste -> hazelnut-whole
    ");
}

#[test]
fn a_price_that_holds_later_costs_nothing_today() {
    let (old, new) = ("price = \"26.50 EUR\"", "price = \"27.50 EUR\"");
    shows!([("prices/harbour.toml", old, new)], @"
    cost
      cost   prices/harbour: price of `pear-fresh` changed: 10 kg for 27.50 EUR from 2026-12-15 by orchard-1 instead of 10 kg for 26.50 EUR from 2026-12-15 by orchard-1
    ");
}

#[test]
fn a_price_moves_less_than_a_piece_s_cost_shows() {
    shows!([("prices/millrace.toml", "\"3.10 GBP\"", "\"3.11 GBP\"")], @"
    cost
      cost   prices/millrace: price of `water` changed: 1000 L for 3.11 GBP from 2026-06-01 by utility-2 instead of 1000 L for 3.10 GBP from 2026-06-01 by utility-2
    ");
}

#[test]
fn a_rate_moves_the_site_that_costs_in_the_currency() {
    shows!([("prices/group.toml", "\"0.855\"", "\"0.865\"")], @"
    cost
      cost   recipe/honey-loaf: food at `millrace` costs 1.4815 GBP a piece instead of 1.4762 GBP a piece, +0.35 %
      cost   recipe/pear-buckwheat-entremet: food at `millrace` costs 0.6549 GBP a piece instead of 0.6502 GBP a piece, +0.71 %
      cost   prices/group: exchange rate changed: 1 EUR is 0.865 GBP from 2026-10-01 instead of 1 EUR is 0.855 GBP from 2026-10-01
    ");
}
