//! book.toml.

use insta::assert_snapshot;

use crate::{BOOK, in_settings};

#[test]
fn missing_keys_are_named_with_an_example() {
    let text = in_settings(r#"labels = ["eu"]"#);
    assert_snapshot!(text, @r#"
    missing-key

      × the book needs `name`
       ╭─[book.toml:1:1]
     1 │ labels = ["eu"]
       · ▲
       · ╰── has no `name`
       ╰────
      hint: add `name = "Harbour kitchen"`

    missing-key

      × the book needs `currency`
       ╭─[book.toml:1:1]
     1 │ labels = ["eu"]
       · ▲
       · ╰── has no `currency`
       ╰────
      hint: add `currency = "EUR"`

    missing-key

      × the book needs `languages`
       ╭─[book.toml:1:1]
     1 │ labels = ["eu"]
       · ▲
       · ╰── has no `languages`
       ╰────
      hint: add `languages = ["en", "fr"]`
    "#);
}

#[test]
fn unknown_key_suggests_the_nearest() {
    let text = in_settings(&BOOK.replace("labels", "lables"));
    assert_snapshot!(text, @r#"
    unknown-key

      × `lables` is not a key of the book
       ╭─[book.toml:4:1]
     3 │ languages = ["en", "fr"]
     4 │ lables = ["eu"]
       · ───┬──
       ·    ╰── not known
       ╰────
      hint: did you mean `labels`?
    "#);
}

#[test]
fn currency_in_small_letters_is_refused() {
    let text = in_settings(&BOOK.replace("EUR", "eur"));
    assert_snapshot!(text, @r#"
    bad-currency

      × `eur` is not a currency code of three capital letters, such as `EUR`
       ╭─[book.toml:2:12]
     1 │ name = "Saltmarsh Kitchens"
     2 │ currency = "eur"
       ·            ──┬──
       ·              ╰── here
     3 │ languages = ["en", "fr"]
       ╰────
    "#);
}

#[test]
fn language_of_another_form_is_refused() {
    let text = in_settings(&BOOK.replace(r#""fr""#, r#""french""#));
    assert_snapshot!(text, @r#"
    bad-language

      × `french` is not a language code of two or three lower-case letters, such as `en`
       ╭─[book.toml:3:20]
     2 │ currency = "EUR"
     3 │ languages = ["en", "french"]
       ·                    ────┬───
       ·                        ╰── here
     4 │ labels = ["eu"]
       ╰────
    "#);
}

#[test]
fn no_language_at_all_is_refused() {
    let text = in_settings(&BOOK.replace(r#"["en", "fr"]"#, "[]"));
    assert_snapshot!(text, @r#"
    no-language

      × the book needs a language at least
       ╭─[book.toml:3:13]
     2 │ currency = "EUR"
     3 │ languages = []
       ·             ─┬
       ·              ╰── none
     4 │ labels = ["eu"]
       ╰────
      hint: add `languages = ["en"]`; the first is the fallback
    "#);
}

#[test]
fn language_twice_names_both_places() {
    let text = in_settings(&BOOK.replace(r#""fr""#, r#""en""#));
    assert_snapshot!(text, @r#"
    duplicate-entry

      × the same stands twice in `languages`
       ╭─[book.toml:3:20]
     2 │ currency = "EUR"
     3 │ languages = ["en", "en"]
       ·              ──┬─  ──┬─
       ·                │     ╰── again
       ·                ╰── the first time
     4 │ labels = ["eu"]
       ╰────
      hint: take one of them out
    "#);
}

#[test]
fn unknown_label_lists_those_there_are() {
    let text = in_settings(&BOOK.replace(r#"["eu"]"#, r#"["uk"]"#));
    assert_snapshot!(text, @r#"
    unknown-value

      × `labels` can't be `uk`
       ╭─[book.toml:4:11]
     3 │ languages = ["en", "fr"]
     4 │ labels = ["uk"]
       ·           ──┬─
       ·             ╰── not known
       ╰────
      hint: did you mean `us`? `labels` is `eu` or `us`
    "#);
}

#[test]
fn name_by_language_is_refused_for_the_group() {
    let text = in_settings(&BOOK.replace(r#""Saltmarsh Kitchens""#, r#"{ en = "Saltmarsh" }"#));
    assert_snapshot!(text, @r#"
    wrong-type

      × `name` takes text in quotes, not a table
       ╭─[book.toml:1:8]
     1 │ name = { en = "Saltmarsh" }
       ·        ──────────┬─────────
       ·                  ╰── a table
     2 │ currency = "EUR"
       ╰────
      hint: write it as in `name = "Harbour kitchen"`
    "#);
}

fn with_review(table: &str) -> String {
    in_settings(&format!("{BOOK}[review]\n{table}\n"))
}

#[test]
fn a_review_rule_asks_for_so_many_people() {
    assert_snapshot!(with_review("safety = 12"), @"
    bad-review

      × 12 people can't be asked for
       ╭─[book.toml:6:10]
     5 │ [review]
     6 │ safety = 12
       ·          ─┬
       ·           ╰── here
       ╰────
      hint: write 0 to 9: how many others must approve such a change
    ");
    assert_snapshot!(with_review("recipe = \"two\""), @r#"
    wrong-type

      × `recipe` takes a whole number, not text
       ╭─[book.toml:6:10]
     5 │ [review]
     6 │ recipe = "two"
       ·          ──┬──
       ·            ╰── text
       ╰────
      hint: write it as in `recipe = "honey-loaf"`
    "#);
}

#[test]
fn a_review_rule_names_whose_approval_counts() {
    assert_snapshot!(with_review("by = []"), @"
    bad-review

      × nobody's approval counts
       ╭─[book.toml:6:6]
     5 │ [review]
     6 │ by = []
       ·      ─┬
       ·       ╰── none
       ╰────
      hint: name `chef`, `deputy` or both
    ");
    assert_snapshot!(with_review("by = [\"chef\", \"kitchen\"]"), @r#"
    unknown-value

      × `by` can't be `kitchen`
       ╭─[book.toml:6:15]
     5 │ [review]
     6 │ by = ["chef", "kitchen"]
       ·               ────┬────
       ·                   ╰── not known
       ╰────
      hint: `by` is `chef` or `deputy`
    "#);
    assert_snapshot!(with_review("two = 2"), @"
    unknown-key

      × `two` is not a key of the review rule
       ╭─[book.toml:6:1]
     5 │ [review]
     6 │ two = 2
       · ─┬─
       ·  ╰── not known
       ╰────
      hint: the review rule has `safety`, `recipe`, `cost`, `text`, `by` and `direct`
    ");
}
