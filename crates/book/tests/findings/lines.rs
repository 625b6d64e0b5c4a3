//! Lines of a recipe.

use insta::assert_snapshot;

use crate::{after_a_line, as_amount, in_line, in_recipe};

#[test]
fn recipe_without_lines() {
    let text = in_recipe(
        r#"id = "glaze"
title = { en = "Glaze" }"#,
    );
    assert_snapshot!(text, @r#"
    no-lines

      × the recipe has no line, so nothing goes in
       ╭─[recipes/glaze.toml:1:6]
     1 │ id = "glaze"
       ·      ───┬───
       ·         ╰── this recipe
     2 │ title = { en = "Glaze" }
       ╰────
      hint: add a `[[line]]` with an `ingredient` and an `amount`
    "#);
}

#[test]
fn misspelt_lines_are_not_missed_too() {
    let text = in_recipe("id = 'glaze'\ntitle = { en = 'Glaze' }\n[[lines]]\namount = '1 kg'\n");
    assert_snapshot!(text, @r#"
    unknown-key

      × `lines` is not a key of a recipe
       ╭─[recipes/glaze.toml:3:3]
     2 │ title = { en = 'Glaze' }
     3 │ [[lines]]
       ·   ──┬──
       ·     ╰── not known
     4 │ amount = '1 kg'
       ╰────
      hint: did you mean `line`?
    "#);
}

#[test]
fn line_without_an_amount() {
    let text = in_line(r#"ingredient = "milk-whole""#);
    assert_snapshot!(text, @r#"
    missing-key

      × a line needs `amount`
       ╭─[recipes/glaze.toml:3:1]
     2 │ title = { en = "Glaze" }
     3 │ [[line]]
       · ────┬───
       ·     ╰── has no `amount`
     4 │ ingredient = "milk-whole"
       ╰────
      hint: add `amount = "500 g"`
    "#);
}

#[test]
fn line_that_takes_nothing() {
    let text = in_line(r#"amount = "500 g""#);
    assert_snapshot!(text, @r#"
    nothing-used

      × the line doesn't say what it takes
       ╭─[recipes/glaze.toml:3:1]
     2 │ title = { en = "Glaze" }
     3 │ [[line]]
       · ────┬───
       ·     ╰── of what?
     4 │ amount = "500 g"
       ╰────
      hint: add `ingredient = "..."`, or `component = "..."` for a recipe
    "#);
}

#[test]
fn line_that_takes_both() {
    let text = in_line(
        r#"ingredient = "milk-whole"
component = "light-syrup"
amount = "500 g""#,
    );
    assert_snapshot!(text, @r#"
    two-uses

      × a line takes an ingredient or a component, not both
       ╭─[recipes/glaze.toml:5:13]
     3 │ [[line]]
     4 │ ingredient = "milk-whole"
       ·              ──────┬─────
       ·                    ╰── and an ingredient
     5 │ component = "light-syrup"
       ·             ──────┬──────
       ·                   ╰── a component
     6 │ amount = "500 g"
       ╰────
      hint: make two lines of it
    "#);
}

#[test]
fn unknown_key_of_a_line() {
    let text = in_line(
        r#"ingredient = "milk-whole"
amount = "1 L"
tolerence = "1 %""#,
    );
    assert_snapshot!(text, @r#"
    unknown-key

      × `tolerence` is not a key of a line
       ╭─[recipes/glaze.toml:6:1]
     5 │ amount = "1 L"
     6 │ tolerence = "1 %"
       · ────┬────
       ·     ╰── not known
       ╰────
      hint: did you mean `tolerance`?
    "#);
}

#[test]
fn share_as_a_base() {
    let text = in_line(
        r#"ingredient = "milk-whole"
amount = "5 %"
base = true"#,
    );
    assert_snapshot!(text, @r#"
    base-share

      × a base line needs an amount of its own
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = "5 %"
       ·          ──┬──
       ·            ╰── weighed by others, or not at all
     6 │ base = true
       ·        ──┬─
       ·          ╰── yet others are a share of it
       ╰────
      hint: give the base by mass, volume or count
    "#);
}

#[test]
fn taste_as_a_base() {
    let text = in_line(
        r#"ingredient = "milk-whole"
amount = "to taste"
base = true"#,
    );
    assert_snapshot!(text, @r#"
    base-share

      × a base line needs an amount of its own
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = "to taste"
       ·          ─────┬────
       ·               ╰── weighed by others, or not at all
     6 │ base = true
       ·        ──┬─
       ·          ╰── yet others are a share of it
       ╰────
      hint: give the base by mass, volume or count
    "#);
}

#[test]
fn shares_without_a_base() {
    let text = after_a_line(
        r#"[[line]]
ingredient = "milk-whole"
amount = "5 %"
[[line]]
component = "light-syrup"
amount = "2 %""#,
    );
    assert_snapshot!(text, @r#"
    share-without-base

      × a share needs a base, and no line is marked as one
        ╭─[recipes/glaze.toml:8:10]
      7 │ ingredient = "milk-whole"
      8 │ amount = "5 %"
        ·          ──┬──
        ·            ╰── a share of what?
      9 │ [[line]]
     10 │ component = "light-syrup"
     11 │ amount = "2 %"
        ·          ──┬──
        ·            ╰── a share of what?
        ╰────
      hint: add `base = true` to the lines that make the 100 %, such as the flour
    "#);
}

#[test]
fn unknown_step_suggests_the_nearest() {
    let text = in_line(
        r#"ingredient = "milk-whole"
amount = "1 L"
step = "warn"
[[step]]
id = "warm"
text = { en = "Warm." }"#,
    );
    assert_snapshot!(text, @r#"
    unknown-step

      × the recipe has no step `warn`
       ╭─[recipes/glaze.toml:6:8]
     5 │ amount = "1 L"
     6 │ step = "warn"
       ·        ───┬──
       ·           ╰── not known
     7 │ [[step]]
       ╰────
      hint: did you mean `warm`?
    "#);
}

#[test]
fn unknown_step_of_a_recipe_without_steps() {
    let text = in_line(
        r#"ingredient = "milk-whole"
amount = "1 L"
step = "warm""#,
    );
    assert_snapshot!(text, @r#"
    unknown-step

      × the recipe has no step `warm`
       ╭─[recipes/glaze.toml:6:8]
     5 │ amount = "1 L"
     6 │ step = "warm"
       ·        ───┬──
       ·           ╰── not known
       ╰────
      hint: add a `[[step]]` with `id = "warm"`, or take `step` out
    "#);
}

#[test]
fn to_taste_with_a_hyphen() {
    let text = as_amount(r#""to-taste""#);
    assert_snapshot!(text, @r#"
    bad-number

      × `to-taste` doesn't start with one number
       ╭─[recipes/glaze.toml:5:10]
     4 │ ingredient = "milk-whole"
     5 │ amount = "to-taste"
       ·          ─────┬────
       ·               ╰── here
       ╰────
      hint: write it like `500 g`, or `to taste` where no figure is meant
    "#);
}
