//! Price lists.

use insta::assert_snapshot;

use crate::{in_prices, shown};

const PRICE: &str = r#"[[price]]
ingredient = "milk-whole"
pack = "10 L"
price = "9.50 EUR"
from = 2026-10-01
"#;

const RATE: &str = r#"[[rate]]
from = "GBP"
to = "EUR"
rate = "1.17"
on = 2026-10-01
"#;

#[test]
fn list_whose_file_is_no_id() {
    let text = shown(&[("prices/Group List.toml", "")]);
    assert_snapshot!(text, @r#"
    bad-id

      × a price list is called by its file, and `Group List` is not an id
       ╭─[prices/Group List.toml:1:1]
       ╰────
      hint: rename it; an id has lower-case letters a-z and digits, with single hyphens between words
    "#);
}

#[test]
fn list_of_an_unknown_site() {
    let text = in_prices(r#"site = "harbor""#);
    assert_snapshot!(text, @r#"
    unknown-site

      × the book has no site `harbor`
       ╭─[prices/group.toml:1:8]
     1 │ site = "harbor"
       ·        ────┬───
       ·            ╰── not known
       ╰────
      hint: did you mean `harbour`?
    "#);
}

#[test]
fn price_of_an_unknown_ingredient() {
    let text = in_prices(&PRICE.replace("milk-whole", "milk-hole"));
    assert_snapshot!(text, @r#"
    unknown-ingredient

      × the book has no ingredient `milk-hole`
       ╭─[prices/group.toml:2:14]
     1 │ [[price]]
     2 │ ingredient = "milk-hole"
       ·              ─────┬─────
       ·                   ╰── not known
     3 │ pack = "10 L"
       ╰────
      hint: did you mean `milk-whole`?
    "#);
}

#[test]
fn price_of_a_recipe() {
    let text = in_prices(&PRICE.replace("milk-whole", "light-syrup"));
    assert_snapshot!(text, @r#"
    wrong-kind

      × `light-syrup` is a recipe, not an ingredient
       ╭─[prices/group.toml:2:14]
     1 │ [[price]]
     2 │ ingredient = "light-syrup"
       ·              ──────┬──────
       ·                    ╰── a recipe
     3 │ pack = "10 L"
       ╰────
      hint: only what is bought can stand here
    "#);
}

#[test]
fn price_below_zero() {
    let text = in_prices(&PRICE.replace("9.50", "-9.50"));
    assert_snapshot!(text, @r#"
    below-zero

      × `price` can't be below 0
       ╭─[prices/group.toml:4:10]
     3 │ pack = "10 L"
     4 │ price = "-9.50 EUR"
       ·          ──┬──
       ·            ╰── below 0
     5 │ from = 2026-10-01
       ╰────
      hint: take the `-` out
    "#);
}

#[test]
fn pack_as_a_share() {
    let text = in_prices(&PRICE.replace("10 L", "10 %"));
    assert_snapshot!(text, @r#"
    wrong-dimension

      × `10 %` is a share; `pack` takes a mass, a volume or a count
       ╭─[prices/group.toml:3:12]
     2 │ ingredient = "milk-whole"
     3 │ pack = "10 %"
       ·            ┬
       ·            ╰── a share
     4 │ price = "9.50 EUR"
       ╰────
      hint: write it like `500 g`, `250 mL` or `2 pieces`
    "#);
}

#[test]
fn pack_of_nothing() {
    let text = in_prices(&PRICE.replace("10 L", "0 L"));
    assert_snapshot!(text, @r#"
    not-above-zero

      × `pack` must be above 0
       ╭─[prices/group.toml:3:8]
     2 │ ingredient = "milk-whole"
     3 │ pack = "0 L"
       ·        ──┬──
       ·          ╰── 0
     4 │ price = "9.50 EUR"
       ╰────
      hint: give the true figure, or take the key out if it may be left out
    "#);
}

#[test]
fn day_in_quotes() {
    let text = in_prices(&PRICE.replace("2026-10-01", r#""2026-10-01""#));
    assert_snapshot!(text, @r#"
    wrong-type

      × `from` takes a day without quotes, not text
       ╭─[prices/group.toml:5:8]
     4 │ price = "9.50 EUR"
     5 │ from = "2026-10-01"
       ·        ──────┬─────
       ·              ╰── text
       ╰────
      hint: write it as in `from = 2026-10-01`
    "#);
}

#[test]
fn day_with_a_time() {
    let text = in_prices(&PRICE.replace("2026-10-01", "2026-10-01T08:00:00"));
    assert_snapshot!(text, @r#"
    bad-date

      × `from` takes a day, without a time
       ╭─[prices/group.toml:5:8]
     4 │ price = "9.50 EUR"
     5 │ from = 2026-10-01T08:00:00
       ·        ─────────┬─────────
       ·                 ╰── not a day
       ╰────
      hint: write year-month-day: 2026-10-01
    "#);
}

#[test]
fn rate_between_one_currency() {
    let text = in_prices(&RATE.replace("GBP", "EUR"));
    assert_snapshot!(text, @r#"
    same-currency

      × EUR isn't changed into itself
       ╭─[prices/group.toml:3:6]
     1 │ [[rate]]
     2 │ from = "EUR"
       ·        ──┬──
       ·          ╰── as this
     3 │ to = "EUR"
       ·      ──┬──
       ·        ╰── the same
     4 │ rate = "1.17"
       ╰────
      hint: name two currencies, or take the rate out
    "#);
}

#[test]
fn rate_of_nothing() {
    let text = in_prices(&RATE.replace("1.17", "0"));
    assert_snapshot!(text, @r#"
    not-above-zero

      × `rate` must be above 0
       ╭─[prices/group.toml:4:8]
     3 │ to = "EUR"
     4 │ rate = "0"
       ·        ─┬─
       ·         ╰── 0
     5 │ on = 2026-10-01
       ╰────
      hint: give the true figure, or take the key out if it may be left out
    "#);
}

#[test]
fn rate_that_is_no_number() {
    let text = in_prices(&RATE.replace("1.17", "1,17"));
    assert_snapshot!(text, @r#"
    bad-number

      × `1,17` is not a number
       ╭─[prices/group.toml:4:8]
     3 │ to = "EUR"
     4 │ rate = "1,17"
       ·        ───┬──
       ·           ╰── here
     5 │ on = 2026-10-01
       ╰────
      hint: write `1.17`, with a decimal point
    "#);
}

#[test]
fn rate_without_quotes() {
    let text = in_prices(&RATE.replace(r#""1.17""#, "1.17"));
    assert_snapshot!(text, @r#"
    wrong-type

      × `rate` takes text in quotes, not a decimal number
       ╭─[prices/group.toml:4:8]
     3 │ to = "EUR"
     4 │ rate = 1.17
       ·        ──┬─
       ·          ╰── a decimal number
     5 │ on = 2026-10-01
       ╰────
      hint: write it as in `rate = "1.17"`
    "#);
}

#[test]
fn two_rates_of_one_day() {
    let text = in_prices(&[RATE, &RATE.replace("1.17", "1.18")].concat());
    assert_snapshot!(text, @r#"
    duplicate-rate

      × there are two rates from GBP to EUR on 2026-10-01
       ╭─[prices/group.toml:1:1]
     1 │ [[rate]]
       · ────┬───
       ·     ╰── the first
     2 │ from = "GBP"
       ╰────
       ╭─[prices/group.toml:6:1]
     5 │ on = 2026-10-01
     6 │ [[rate]]
       · ────┬───
       ·     ╰── again
     7 │ from = "GBP"
       ╰────
      hint: take one of them out, or date it otherwise
    "#);
}
