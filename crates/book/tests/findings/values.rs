//! Values of another type than their key takes.

use insta::assert_snapshot;

use crate::{SYRUP, after_a_line, as_amount, in_line, in_recipe, in_site};

#[test]
fn number_where_a_quantity_is_needed_shows_the_form() {
    let text = as_amount("500");
    assert_snapshot!(text, @r#"
    wrong-type

      × `amount` takes text in quotes, not a whole number
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = 500
       ·          ─┬─
       ·           ╰── a whole number
       ╰────
      hint: write it as in `amount = "500 g"`
    "#);
}

#[test]
fn decimal_where_a_quantity_is_needed_shows_the_form() {
    let text = as_amount("0.5");
    assert_snapshot!(text, @r#"
    wrong-type

      × `amount` takes text in quotes, not a decimal number
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = 0.5
       ·          ─┬─
       ·           ╰── a decimal number
       ╰────
      hint: write it as in `amount = "500 g"`
    "#);
}

#[test]
fn text_where_yes_or_no_is_needed() {
    let text = in_line(
        r#"ingredient = "milk-whole"
amount = "1 L"
base = "yes""#,
    );
    assert_snapshot!(text, @r#"
    wrong-type

      × `base` takes `true` or `false`, not text
       ╭─[recipes/glaze.toml:6:8]
     5 │ amount = "1 L"
     6 │ base = "yes"
       ·        ──┬──
       ·          ╰── text
       ╰────
      hint: write it as in `base = true`
    "#);
}

#[test]
fn text_where_a_list_is_needed() {
    let text = in_site(r#"groups = "coast""#);
    assert_snapshot!(text, @r#"
    wrong-type

      × `groups` takes a list, not text
       ╭─[sites/station.toml:3:10]
     2 │ name = "Station"
     3 │ groups = "coast"
       ·          ───┬───
       ·             ╰── text
       ╰────
      hint: write it as in `groups = ["coast"]`
    "#);
}

#[test]
fn list_where_a_table_is_needed() {
    let text = after_a_line(
        r#"[[storage]]
condition = "chilled""#,
    );
    assert_snapshot!(text, @r#"
    wrong-type

      × there is one `storage` at most, so it stands in single brackets
       ╭─[recipes/glaze.toml:6:1]
     5 │ amount = "500 g"
     6 │ [[storage]]
       · ─────┬─────
       ·      ╰── a list of tables
     7 │ condition = "chilled"
       ╰────
      hint: write `[storage]`
    "#);
}

#[test]
fn single_brackets_where_there_can_be_several() {
    let text = in_recipe(&SYRUP.replace("[[line]]", "[line]").replace("light-syrup", "glaze"));
    assert_snapshot!(text, @r#"
    wrong-type

      × there can be several `line`, so each stands in double brackets
       ╭─[recipes/glaze.toml:3:1]
     2 │ title = { en = "Light syrup" }
     3 │ [line]
       · ───┬──
       ·    ╰── a single table
     4 │ ingredient = "sugar-caster"
       ╰────
      hint: write `[[line]]`
    "#);
}

#[test]
fn plain_title_shows_the_table_by_language() {
    let text = in_recipe(
        &SYRUP.replace(r#"{ en = "Light syrup" }"#, r#""Glaze""#).replace("light-syrup", "glaze"),
    );
    assert_snapshot!(text, @r#"
    wrong-type

      × `title` takes a wording for each language
       ╭─[recipes/glaze.toml:2:9]
     1 │ id = "glaze"
     2 │ title = "Glaze"
       ·         ───┬───
       ·            ╰── no language
     3 │ [[line]]
       ╰────
      hint: write `title = { en = "Glaze" }`
    "#);
}

#[test]
fn blank_text_is_refused() {
    let text = in_site(
        r#"[[scale]]
name = " "
capacity = "6 kg"
increment = "1 g""#,
    );
    assert_snapshot!(text, @r#"
    empty-text

      × `name` says nothing
       ╭─[sites/station.toml:4:8]
     3 │ [[scale]]
     4 │ name = " "
       ·        ─┬─
       ·         ╰── empty
     5 │ capacity = "6 kg"
       ╰────
      hint: fill it in, or take the key out if it may be left out
    "#);
}

#[test]
fn id_with_capitals_is_refused() {
    let text = in_recipe(&SYRUP.replace("light-syrup", "Light_Syrup"));
    assert_snapshot!(text, @r#"
    bad-id

      × `Light_Syrup` is not an id
       ╭─[recipes/glaze.toml:1:6]
     1 │ id = "Light_Syrup"
       ·      ──────┬──────
       ·            ╰── here
     2 │ title = { en = "Light syrup" }
       ╰────
      hint: use lower-case letters a-z and digits, with single hyphens between words
    "#);
}

#[test]
fn id_that_is_too_long_is_refused() {
    let text = in_recipe(&SYRUP.replace("light-syrup", &"a".repeat(65)));
    assert_snapshot!(text, @r#"
    bad-id

      × `aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa` is longer than 64 letters
       ╭─[recipes/glaze.toml:1:6]
     1 │ id = "aaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaaa"
       ·      ─────────────────────────────────┬─────────────────────────────────
       ·                                       ╰── here
     2 │ title = { en = "Light syrup" }
       ╰────
    "#);
}

#[test]
fn unknown_value_suggests_the_nearest_and_lists_all() {
    let text = in_line(
        r#"ingredient = "milk-whole"
amount = "1 L"
scaling = "perbatch""#,
    );
    assert_snapshot!(text, @r#"
    unknown-value

      × `scaling` can't be `perbatch`
       ╭─[recipes/glaze.toml:6:11]
     5 │ amount = "1 L"
     6 │ scaling = "perbatch"
       ·           ─────┬────
       ·                ╰── not known
       ╰────
      hint: did you mean `per-batch`? `scaling` is `proportional`, `per-batch` or `whole`
    "#);
}

#[test]
fn unknown_key_without_a_near_one_lists_all() {
    let text = after_a_line(
        r#"[storage]
condition = "chilled"
shelf = 3"#,
    );
    assert_snapshot!(text, @r#"
    unknown-key

      × `shelf` is not a key of the storage
       ╭─[recipes/glaze.toml:8:1]
     7 │ condition = "chilled"
     8 │ shelf = 3
       · ──┬──
       ·   ╰── not known
       ╰────
      hint: the storage has `condition` and `keeps`
    "#);
}
