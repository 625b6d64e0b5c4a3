//! Quantities that can't be read.

use insta::assert_snapshot;

use crate::{after_a_line, as_amount, in_ingredient, in_line, in_prices, in_site};

#[test]
fn gr_is_g() {
    let text = as_amount(r#""250 gr""#);
    assert_snapshot!(text, @r#"
    unknown-unit

      × `gr` is not a unit; `amount` takes a mass, a volume, a count or a share
       ╭─[recipes/glaze.toml:5:15]
     4 │ ingredient = "milk-whole"
     5 │ amount = "250 gr"
       ·               ─┬
       ·                ╰── not known
       ╰────
      hint: did you mean `250 g`?
    "#);
}

#[test]
fn ml_is_written_with_a_capital_l() {
    let text = as_amount(r#""250 ml""#);
    assert_snapshot!(text, @r#"
    unknown-unit

      × `ml` is not a unit; `amount` takes a mass, a volume, a count or a share
       ╭─[recipes/glaze.toml:5:15]
     4 │ ingredient = "milk-whole"
     5 │ amount = "250 ml"
       ·               ─┬
       ·                ╰── not known
       ╰────
      hint: did you mean `250 mL`?
    "#);
}

#[test]
fn kg_is_written_in_small_letters() {
    let text = as_amount(r#""2 Kg""#);
    assert_snapshot!(text, @r#"
    unknown-unit

      × `Kg` is not a unit; `amount` takes a mass, a volume, a count or a share
       ╭─[recipes/glaze.toml:5:13]
     4 │ ingredient = "milk-whole"
     5 │ amount = "2 Kg"
       ·             ─┬
       ·              ╰── not known
       ╰────
      hint: did you mean `2 kg`?
    "#);
}

#[test]
fn l_is_written_as_a_capital() {
    let text = as_amount(r#""2 l""#);
    assert_snapshot!(text, @r#"
    unknown-unit

      × `l` is not a unit; `amount` takes a mass, a volume, a count or a share
       ╭─[recipes/glaze.toml:5:13]
     4 │ ingredient = "milk-whole"
     5 │ amount = "2 l"
       ·             ┬
       ·             ╰── not known
       ╰────
      hint: did you mean `2 L`?
    "#);
}

#[test]
fn capitals_are_no_currency_where_a_volume_is_near() {
    let text = as_amount(r#""2 CUP""#);
    assert_snapshot!(text, @r#"
    unknown-unit

      × `CUP` is not a unit; `amount` takes a mass, a volume, a count or a share
       ╭─[recipes/glaze.toml:5:13]
     4 │ ingredient = "milk-whole"
     5 │ amount = "2 CUP"
       ·             ─┬─
       ·              ╰── not known
       ╰────
      hint: did you mean `2 cup`?
    "#);
}

#[test]
fn degrees_in_small_letters() {
    let text = after_a_line(
        r#"[[step]]
id = "cook"
text = { en = "Cook." }
[[step.control]]
measure = "temperature"
target = "80 °c""#,
    );
    assert_snapshot!(text, @r#"
    unknown-unit

      × `°c` is not a unit; `target` takes a temperature
        ╭─[recipes/glaze.toml:11:14]
     10 │ measure = "temperature"
     11 │ target = "80 °c"
        ·              ─┬
        ·               ╰── not known
        ╰────
      hint: did you mean `80 °C`?
    "#);
}

#[test]
fn unit_unlike_any_other_shows_examples() {
    let text = as_amount(r#""2 handfuls""#);
    assert_snapshot!(text, @r#"
    unknown-unit

      × `handfuls` is not a unit; `amount` takes a mass, a volume, a count or a share
       ╭─[recipes/glaze.toml:5:13]
     4 │ ingredient = "milk-whole"
     5 │ amount = "2 handfuls"
       ·             ────┬───
       ·                 ╰── not known
       ╰────
      hint: write it like `500 g`, `250 mL`, `2 pieces` or `5 %`
    "#);
}

#[test]
fn volume_as_a_tolerance() {
    let text = in_line(
        r#"ingredient = "milk-whole"
amount = "1 L"
tolerance = "2 L""#,
    );
    assert_snapshot!(text, @r#"
    wrong-dimension

      × `2 L` is a volume; `tolerance` takes a share
       ╭─[recipes/glaze.toml:6:16]
     5 │ amount = "1 L"
     6 │ tolerance = "2 L"
       ·                ┬
       ·                ╰── a volume
       ╰────
      hint: write it like `5 %`
    "#);
}

#[test]
fn time_as_an_amount() {
    let text = as_amount(r#""10 min""#);
    assert_snapshot!(text, @r#"
    wrong-dimension

      × `10 min` is a time; `amount` takes a mass, a volume, a count or a share
       ╭─[recipes/glaze.toml:5:14]
     4 │ ingredient = "milk-whole"
     5 │ amount = "10 min"
       ·              ─┬─
       ·               ╰── a time
       ╰────
      hint: write it like `500 g`, `250 mL`, `2 pieces` or `5 %`
    "#);
}

#[test]
fn mass_as_a_density() {
    let text = in_ingredient(r#"density = "1.03 g""#);
    assert_snapshot!(text, @r#"
    wrong-dimension

      × `1.03 g` is a mass; `density` takes a density
       ╭─[ingredients/more.toml:4:17]
     3 │ name = { en = "Pear" }
     4 │ density = "1.03 g"
       ·                 ┬
       ·                 ╰── a mass
       ╰────
      hint: write it like `1.03 g/mL`
    "#);
}

#[test]
fn number_without_a_unit() {
    let text = as_amount(r#""500""#);
    assert_snapshot!(text, @r#"
    missing-unit

      × `500` has no unit; `amount` takes a mass, a volume, a count or a share
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = "500"
       ·          ──┬──
       ·            ╰── a number alone
       ╰────
      hint: write it like `500 g`, `250 mL`, `2 pieces` or `5 %`
    "#);
}

#[test]
fn decimal_comma() {
    let text = as_amount(r#""1,5 kg""#);
    assert_snapshot!(text, @r#"
    bad-number

      × `1,5 kg` doesn't start with one number
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = "1,5 kg"
       ·          ────┬───
       ·              ╰── here
       ╰────
      hint: write `1.5 kg`, with a decimal point
    "#);
}

#[test]
fn comma_that_may_part_thousands() {
    let text = as_amount(r#""1,000 g""#);
    assert_snapshot!(text, @r#"
    bad-number

      × `1,000 g` doesn't start with one number
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = "1,000 g"
       ·          ────┬────
       ·              ╰── here
       ╰────
      hint: write `1000 g` if the comma parts the thousands, `1.000 g` if not
    "#);
}

#[test]
fn fraction_of_one_letter() {
    let text = as_amount(r#""½ cup""#);
    assert_snapshot!(text, @r#"
    bad-number

      × `½ cup` doesn't start with one number
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = "½ cup"
       ·          ───┬───
       ·             ╰── here
       ╰────
      hint: write `½` as `1/2`
    "#);
}

#[test]
fn range_of_numbers() {
    let text = as_amount(r#""200-300 g""#);
    assert_snapshot!(text, @r#"
    bad-number

      × `200-300 g` doesn't start with one number
       ╭─[recipes/glaze.toml:5:11]
     4 │ ingredient = "milk-whole"
     5 │ amount = "200-300 g"
       ·           ───┬───
       ·              ╰── here
       ╰────
      hint: give one number; how far it may be off is the line's `tolerance`, or a control's `min`
            and `max`
    "#);
}

#[test]
fn gap_between_digits() {
    let text = as_amount(r#""1 000 g""#);
    assert_snapshot!(text, @r#"
    bad-number

      × `1 000 g` doesn't start with one number
       ╭─[recipes/glaze.toml:5:11]
     4 │ ingredient = "milk-whole"
     5 │ amount = "1 000 g"
       ·           ──┬──
       ·             ╰── here
       ╰────
      hint: write `1000 g`, without a space between the digits
    "#);
}

#[test]
fn about_so_much() {
    let text = as_amount(r#""~200 g""#);
    assert_snapshot!(text, @r#"
    bad-number

      × `~200 g` doesn't start with one number
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = "~200 g"
       ·          ────┬───
       ·              ╰── here
       ╰────
      hint: give the number alone; nothing is taken as roughly so much
    "#);
}

#[test]
fn words_alone() {
    let text = as_amount(r#""a pinch""#);
    assert_snapshot!(text, @r#"
    bad-number

      × `a pinch` doesn't start with one number
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = "a pinch"
       ·          ────┬────
       ·              ╰── here
       ╰────
      hint: write it like `500 g`, or `to taste` where no figure is meant
    "#);
}

#[test]
fn nothing_at_all() {
    let text = as_amount(r#""""#);
    assert_snapshot!(text, @r#"
    empty-text

      × `amount` says nothing
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = ""
       ·          ─┬
       ·           ╰── empty
       ╰────
      hint: write it like `500 g`, `250 mL`, `2 pieces` or `5 %`
    "#);
}

#[test]
fn fraction_over_zero() {
    let text = as_amount(r#""1/0 kg""#);
    assert_snapshot!(text, @r#"
    bad-number

      × `1/0` divides by zero
       ╭─[recipes/glaze.toml:5:11]
     4 │ ingredient = "milk-whole"
     5 │ amount = "1/0 kg"
       ·           ─┬─
       ·            ╰── here
       ╰────
    "#);
}

#[test]
fn more_digits_than_are_held() {
    let text = as_amount(r#""1234567890123456789 g""#);
    assert_snapshot!(text, @r#"
    bad-number

      × `1234567890123456789` has more than 18 significant digits
       ╭─[recipes/glaze.toml:5:11]
     4 │ ingredient = "milk-whole"
     5 │ amount = "1234567890123456789 g"
       ·           ─────────┬─────────
       ·                    ╰── here
       ╰────
    "#);
}

#[test]
fn amount_below_zero() {
    let text = as_amount(r#""-5 g""#);
    assert_snapshot!(text, @r#"
    below-zero

      × `amount` can't be below 0
       ╭─[recipes/glaze.toml:5:11]
     4 │ ingredient = "milk-whole"
     5 │ amount = "-5 g"
       ·           ─┬
       ·            ╰── below 0
       ╰────
      hint: take the `-` out
    "#);
}

#[test]
fn amount_of_nothing() {
    let text = as_amount(r#""0 g""#);
    assert_snapshot!(text, @r#"
    not-above-zero

      × `amount` must be above 0
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = "0 g"
       ·          ──┬──
       ·            ╰── 0
       ╰────
      hint: give the true figure, or take the line out
    "#);
}

#[test]
fn escapes_in_the_text_point_at_the_whole() {
    let text = as_amount(r#""250\u0020gr""#);
    assert_snapshot!(text, @r#"
    unknown-unit

      × `gr` is not a unit; `amount` takes a mass, a volume, a count or a share
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = "250\u0020gr"
       ·          ──────┬──────
       ·                ╰── not known
       ╰────
      hint: did you mean `250 g`?
    "#);
}

#[test]
fn rate_by_the_hour_without_the_hour() {
    let text = in_site(r#"labour_rate = "24.50 EUR""#);
    assert_snapshot!(text, @r#"
    wrong-dimension

      × `24.50 EUR` is an amount of money; `labour_rate` takes a rate by the hour
       ╭─[sites/station.toml:3:22]
     2 │ name = "Station"
     3 │ labour_rate = "24.50 EUR"
       ·                      ─┬─
       ·                       ╰── an amount of money
       ╰────
      hint: write it like `24.50 EUR/h`
    "#);
}

#[test]
fn money_in_small_letters() {
    let text = in_prices(
        r#"[[price]]
ingredient = "milk-whole"
pack = "10 L"
price = "9.50 eur"
from = 2026-10-01"#,
    );
    assert_snapshot!(text, @r#"
    unknown-unit

      × `eur` is not a unit; `price` takes an amount of money
       ╭─[prices/group.toml:4:15]
     3 │ pack = "10 L"
     4 │ price = "9.50 eur"
       ·               ─┬─
       ·                ╰── not known
     5 │ from = 2026-10-01
       ╰────
      hint: did you mean `9.50 EUR`?
    "#);
}
