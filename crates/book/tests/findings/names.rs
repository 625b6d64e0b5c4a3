//! Ids across the book.

use insta::assert_snapshot;

use crate::{INGREDIENTS, SYRUP, in_ingredients, in_line, in_recipe, shown};

#[test]
fn unknown_ingredient_suggests_the_nearest() {
    let text = in_line(
        r#"ingredient = "milk-hole"
amount = "1 L""#,
    );
    assert_snapshot!(text, @r#"
    unknown-ingredient

      × the book has no ingredient `milk-hole`
       ╭─[recipes/glaze.toml:4:14]
     3 │ [[line]]
     4 │ ingredient = "milk-hole"
       ·              ─────┬─────
       ·                   ╰── not known
     5 │ amount = "1 L"
       ╰────
      hint: did you mean `milk-whole`?
    "#);
}

#[test]
fn unknown_ingredient_by_its_first_word() {
    let text = in_line(
        r#"ingredient = "sugar"
amount = "1 kg""#,
    );
    assert_snapshot!(text, @r#"
    unknown-ingredient

      × the book has no ingredient `sugar`
       ╭─[recipes/glaze.toml:4:14]
     3 │ [[line]]
     4 │ ingredient = "sugar"
       ·              ───┬───
       ·                 ╰── not known
     5 │ amount = "1 kg"
       ╰────
      hint: did you mean `sugar-caster`?
    "#);
}

#[test]
fn unknown_recipe_without_a_near_one() {
    let text = in_line(
        r#"component = "praline"
amount = "1 kg""#,
    );
    assert_snapshot!(text, @r#"
    unknown-recipe

      × the book has no recipe `praline`
       ╭─[recipes/glaze.toml:4:13]
     3 │ [[line]]
     4 │ component = "praline"
       ·             ────┬────
       ·                 ╰── not known
     5 │ amount = "1 kg"
       ╰────
      hint: write its recipe in a file of the folder recipes
    "#);
}

#[test]
fn component_taken_as_an_ingredient() {
    let text = in_line(
        r#"ingredient = "light-syrup"
amount = "1 kg""#,
    );
    assert_snapshot!(text, @r#"
    wrong-kind

      × `light-syrup` is a recipe, not an ingredient
       ╭─[recipes/glaze.toml:4:14]
     3 │ [[line]]
     4 │ ingredient = "light-syrup"
       ·              ──────┬──────
       ·                    ╰── a recipe
     5 │ amount = "1 kg"
       ╰────
      hint: write `component = "light-syrup"`
    "#);
}

#[test]
fn ingredient_taken_as_a_component() {
    let text = in_line(
        r#"component = "milk-whole"
amount = "1 kg""#,
    );
    assert_snapshot!(text, @r#"
    wrong-kind

      × `milk-whole` is an ingredient, not a recipe
       ╭─[recipes/glaze.toml:4:13]
     3 │ [[line]]
     4 │ component = "milk-whole"
       ·             ──────┬─────
       ·                   ╰── an ingredient
     5 │ amount = "1 kg"
       ╰────
      hint: write `ingredient = "milk-whole"`
    "#);
}

#[test]
fn two_recipes_of_one_id_in_two_files() {
    let text = in_recipe(SYRUP);
    assert_snapshot!(text, @r#"
    duplicate-id

      × two recipes have the id `light-syrup`
       ╭─[recipes/light-syrup.toml:1:6]
     1 │ id = "light-syrup"
       ·      ──────┬──────
       ·            ╰── again
     2 │ title = { en = "Light syrup" }
       ╰────
       ╭─[recipes/glaze.toml:1:6]
     1 │ id = "light-syrup"
       ·      ──────┬──────
       ·            ╰── the first
     2 │ title = { en = "Light syrup" }
       ╰────
      hint: give one of them another id
    "#);
}

#[test]
fn two_ingredients_of_one_id_in_one_file() {
    let text =
        in_ingredients(&INGREDIENTS.replace("milk-whole", "pear").replace("sugar-caster", "pear"));
    assert_snapshot!(text, @r#"
    duplicate-id

      × two ingredients have the id `pear`
       ╭─[ingredients/more.toml:2:6]
     1 │ [[ingredient]]
     2 │ id = "pear"
       ·      ───┬──
       ·         ╰── the first
     3 │ name = { en = "Whole milk" }
       ╰────
       ╭─[ingredients/more.toml:6:6]
     5 │ [[ingredient]]
     6 │ id = "pear"
       ·      ───┬──
       ·         ╰── again
     7 │ name = { en = "Caster sugar" }
       ╰────
      hint: give one of them another id
    "#);
}

#[test]
fn recipes_that_use_each_other() {
    let text = shown(&[
        (
            "recipes/light-syrup.toml",
            &SYRUP.replace(r#"ingredient = "sugar-caster""#, r#"component = "glaze""#),
        ),
        (
            "recipes/glaze.toml",
            &SYRUP
                .replace(r#"ingredient = "sugar-caster""#, r#"component = "light-syrup""#)
                .replace(r#"id = "light-syrup""#, r#"id = "glaze""#),
        ),
    ]);
    assert_snapshot!(text, @r#"
    component-cycle

      × `glaze` uses `light-syrup`, which uses `glaze`
       ╭─[recipes/glaze.toml:4:13]
     3 │ [[line]]
     4 │ component = "light-syrup"
       ·             ──────┬──────
       ·                   ╰── `glaze` uses this
     5 │ amount = "500 g"
       ╰────
       ╭─[recipes/light-syrup.toml:4:13]
     3 │ [[line]]
     4 │ component = "glaze"
       ·             ───┬───
       ·                ╰── `light-syrup` uses this
     5 │ amount = "500 g"
       ╰────
      hint: a recipe can't be a component of itself, directly or by way of others
    "#);
}
