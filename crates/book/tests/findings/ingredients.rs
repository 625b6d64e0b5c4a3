//! Ingredients.

use insta::assert_snapshot;

use crate::{in_ingredient, in_ingredients};

#[test]
fn missing_name_shows_an_example() {
    let text = in_ingredients(
        r#"[[ingredient]]
id = "pear""#,
    );
    assert_snapshot!(text, @r#"
    missing-key

      × an ingredient needs `name`
       ╭─[ingredients/more.toml:2:6]
     1 │ [[ingredient]]
     2 │ id = "pear"
       ·      ───┬──
       ·         ╰── has no `name`
       ╰────
      hint: add `name = { en = "..." }`
    "#);
}

#[test]
fn language_that_the_book_lacks() {
    let text = in_ingredients(
        r#"[[ingredient]]
id = "pear"
name = { en = "Pear", de = "Birne" }"#,
    );
    assert_snapshot!(text, @r#"
    unknown-language

      × the book isn't kept in the language `de`
       ╭─[ingredients/more.toml:3:23]
     2 │ id = "pear"
     3 │ name = { en = "Pear", de = "Birne" }
       ·                       ─┬
       ·                        ╰── not one of its own
       ╰────
      hint: `languages` in book.toml has `en` and `fr`
    "#);
}

#[test]
fn language_code_of_another_form() {
    let text = in_ingredients(
        r#"[[ingredient]]
id = "pear"
name = { en = "Pear", French = "Poire" }"#,
    );
    assert_snapshot!(text, @r#"
    bad-language

      × `French` is not a language code
       ╭─[ingredients/more.toml:3:23]
     2 │ id = "pear"
     3 │ name = { en = "Pear", French = "Poire" }
       ·                       ───┬──
       ·                          ╰── here
       ╰────
      hint: a language has two or three lower-case letters, such as `en`
    "#);
}

#[test]
fn wording_missing_in_the_fallback() {
    let text = in_ingredients(
        r#"[[ingredient]]
id = "pear"
name = { fr = "Poire" }"#,
    );
    assert_snapshot!(text, @r#"
    missing-fallback

      × `name` has no wording in `en`
       ╭─[ingredients/more.toml:3:8]
     2 │ id = "pear"
     3 │ name = { fr = "Poire" }
       ·        ────────┬───────
       ·                ╰── here
       ╰────
      hint: add `en = "..."`: a kitchen whose language is missing reads the first of the book's
            languages
    "#);
}

#[test]
fn density_of_nothing() {
    let text = in_ingredient(r#"density = "0 g/mL""#);
    assert_snapshot!(text, @r#"
    not-above-zero

      × `density` must be above 0
       ╭─[ingredients/more.toml:4:11]
     3 │ name = { en = "Pear" }
     4 │ density = "0 g/mL"
       ·           ────┬───
       ·               ╰── 0
       ╰────
      hint: give the true figure, or take the key out if it may be left out
    "#);
}

#[test]
fn edible_yield_of_nothing() {
    let text = in_ingredient(r#"edible_yield = "0 %""#);
    assert_snapshot!(text, @r#"
    not-above-zero

      × `edible_yield` must be above 0
       ╭─[ingredients/more.toml:4:16]
     3 │ name = { en = "Pear" }
     4 │ edible_yield = "0 %"
       ·                ──┬──
       ·                  ╰── 0
       ╰────
      hint: give the true figure, or take the key out if it may be left out
    "#);
}

#[test]
fn edible_yield_above_the_whole() {
    let text = in_ingredient(r#"edible_yield = "105 %""#);
    assert_snapshot!(text, @r#"
    out-of-range

      × `edible_yield` can't be above 100 %
       ╭─[ingredients/more.toml:4:16]
     3 │ name = { en = "Pear" }
     4 │ edible_yield = "105 %"
       ·                ───┬───
       ·                   ╰── more than the whole
       ╰────
      hint: it is a part of what is purchased or made
    "#);
}

#[test]
fn unknown_allergen_suggests_the_nearest() {
    let text = in_ingredient(r#"allergens = { almonds = "contains", nut = "contains" }"#);
    assert_snapshot!(text, @r#"
    unknown-allergen

      × `almonds` is not an allergen code
       ╭─[ingredients/more.toml:4:15]
     3 │ name = { en = "Pear" }
     4 │ allergens = { almonds = "contains", nut = "contains" }
       ·               ───┬───
       ·                  ╰── not known
       ╰────
      hint: did you mean `nuts.almond`?

    unknown-allergen

      × `nut` is not an allergen code
       ╭─[ingredients/more.toml:4:37]
     3 │ name = { en = "Pear" }
     4 │ allergens = { almonds = "contains", nut = "contains" }
       ·                                     ─┬─
       ·                                      ╰── not known
       ╰────
      hint: did you mean `nuts`?
    "#);
}

#[test]
fn allergen_kind_without_quotes() {
    let text = in_ingredient(r#"allergens = { gluten.wheat = "contains" }"#);
    assert_snapshot!(text, @r#"
    wrong-type

      × `gluten` takes a state, not a table
       ╭─[ingredients/more.toml:4:15]
     3 │ name = { en = "Pear" }
     4 │ allergens = { gluten.wheat = "contains" }
       ·               ───┬──
       ·                  ╰── a table
       ╰────
      hint: write the code of a kind in quotes: `"gluten.wheat"`
    "#);
}

#[test]
fn unknown_allergen_state() {
    let text = in_ingredient(r#"allergens = { milk = "traces" }"#);
    assert_snapshot!(text, @r#"
    unknown-value

      × `milk` can't be `traces`
       ╭─[ingredients/more.toml:4:22]
     3 │ name = { en = "Pear" }
     4 │ allergens = { milk = "traces" }
       ·                      ────┬───
       ·                          ╰── not known
       ╰────
      hint: `milk` is `free`, `may-contain`, `unknown` or `contains`
    "#);
}

#[test]
fn group_free_but_its_kind_not() {
    let text = in_ingredient(r#"allergens = { nuts = "free", "nuts.almond" = "contains" }"#);
    assert_snapshot!(text, @r#"
    allergen-contradiction

      ⚠ `nuts` is stated `free`, but its kind `nuts.almond` `contains`
       ╭─[ingredients/more.toml:4:22]
     3 │ name = { en = "Pear" }
     4 │ allergens = { nuts = "free", "nuts.almond" = "contains" }
       ·                      ───┬──                  ─────┬────
       ·                         │                         ╰── but not of this one
       ·                         ╰── free of all its kinds
       ╰────
      hint: the worse of the two counts; check the supplier's declaration and state one of them
    "#);
}

#[test]
fn content_a_little_over_the_whole_is_a_warning() {
    let text = in_ingredient(
        r#"[ingredient.content]
water = "84 g"
carbohydrate = "15.5 g"
protein = "1 g""#,
    );
    assert_snapshot!(text, @r#"
    content-sum

      ⚠ the content comes to 100.50 g in 100 g
       ╭─[ingredients/more.toml:4:1]
     3 │ name = { en = "Pear" }
     4 │ [ingredient.content]
       · ──────────┬─────────
       ·           ╰── more than there is
     5 │ water = "84 g"
       ╰────
      hint: carbohydrate is without fibre; saturates, sugars and polyols aren't counted again
    "#);
}

#[test]
fn content_far_over_the_whole() {
    let text = in_ingredient(
        r#"[ingredient.content]
water = "84 g"
carbohydrate = "51 g""#,
    );
    assert_snapshot!(text, @r#"
    content-sum

      × the content comes to 135.00 g in 100 g
       ╭─[ingredients/more.toml:4:1]
     3 │ name = { en = "Pear" }
     4 │ [ingredient.content]
       · ──────────┬─────────
       ·           ╰── more than there is
     5 │ water = "84 g"
       ╰────
      hint: carbohydrate is without fibre; saturates, sugars and polyols aren't counted again
    "#);
}

#[test]
fn saturates_above_fat() {
    let text = in_ingredient(
        r#"[ingredient.content]
fat = "3 g"
saturates = "5 g""#,
    );
    assert_snapshot!(text, @r#"
    content-part

      × saturates come to more than the fat that they are part of
       ╭─[ingredients/more.toml:6:13]
     4 │ [ingredient.content]
     5 │ fat = "3 g"
       ·       ──┬──
       ·         ╰── all of it
     6 │ saturates = "5 g"
       ·             ──┬──
       ·               ╰── part of it
       ╰────
    "#);
}

#[test]
fn sugars_and_polyols_above_carbohydrate() {
    let text = in_ingredient(
        r#"[ingredient.content]
carbohydrate = "10 g"
sugars = "8 g"
polyols = "4 g""#,
    );
    assert_snapshot!(text, @r#"
    content-part

      × sugars and polyols come to more than the carbohydrate that they are part of
       ╭─[ingredients/more.toml:6:10]
     4 │ [ingredient.content]
     5 │ carbohydrate = "10 g"
       ·                ───┬──
       ·                   ╰── all of it
     6 │ sugars = "8 g"
       ·          ──┬──
       ·            ╰── part of it
     7 │ polyols = "4 g"
       ·           ──┬──
       ·             ╰── part of it
       ╰────
    "#);
}

#[test]
fn unknown_nutrient() {
    let text = in_ingredient(
        r#"[ingredient.content]
carbs = "10 g"
sodium = "1 g""#,
    );
    assert_snapshot!(text, @r#"
    unknown-key

      × `carbs` is not a key of the content
       ╭─[ingredients/more.toml:5:1]
     4 │ [ingredient.content]
     5 │ carbs = "10 g"
       · ──┬──
       ·   ╰── not known
     6 │ sodium = "1 g"
       ╰────
      hint: the content has `water`, `fat`, `saturates`, `carbohydrate`, `sugars`, `polyols`, `fibre`,
            `protein`, `salt`, `alcohol`, `sucrose`, `glucose`, `fructose`, `invert_sugar`, `maltose`,
            `lactose`, `glycerol`, `sorbitol`, `xylitol`, `erythritol`, `mannitol`, `milk_fat`,
            `cocoa_butter` and `dry_cocoa`

    unknown-key

      × `sodium` is not a key of the content
       ╭─[ingredients/more.toml:6:1]
     5 │ carbs = "10 g"
     6 │ sodium = "1 g"
       · ───┬──
       ·    ╰── not known
       ╰────
      hint: the content has `water`, `fat`, `saturates`, `carbohydrate`, `sugars`, `polyols`, `fibre`,
            `protein`, `salt`, `alcohol`, `sucrose`, `glucose`, `fructose`, `invert_sugar`, `maltose`,
            `lactose`, `glycerol`, `sorbitol`, `xylitol`, `erythritol`, `mannitol`, `milk_fat`,
            `cocoa_butter` and `dry_cocoa`
    "#);
}

#[test]
fn content_by_volume() {
    let text = in_ingredient(
        r#"[ingredient.content]
water = "84 mL""#,
    );
    assert_snapshot!(text, @r#"
    wrong-dimension

      × `84 mL` is a volume; `water` takes a mass
       ╭─[ingredients/more.toml:5:13]
     4 │ [ingredient.content]
     5 │ water = "84 mL"
       ·             ─┬
       ·              ╰── a volume
       ╰────
      hint: write it like `500 g`
    "#);
}

#[test]
fn constituents_above_the_whole() {
    let text = in_ingredient(
        r#"made_of = [{ ingredient = "milk-whole", amount = "60 %" }, { ingredient = "sugar-caster", amount = "50 %" }]"#,
    );
    assert_snapshot!(text, @r#"
    made-of-sum

      × the constituents add up to 110.00 %
       ╭─[ingredients/more.toml:4:11]
     3 │ name = { en = "Pear" }
     4 │ made_of = [{ ingredient = "milk-whole", amount = "60 %" }, { ingredient = "sugar-caster", amount = "50 %" }]
       ·           ─────────────────────────────────────────────────┬────────────────────────────────────────────────
       ·                                                            ╰── more than the whole
       ╰────
      hint: shares are of the whole ingredient, so they come to 100 % at most
    "#);
}

#[test]
fn constituents_out_of_order() {
    let text = in_ingredient(
        r#"made_of = [{ ingredient = "milk-whole", amount = "20 %" }, { ingredient = "sugar-caster", amount = "50 %" }]"#,
    );
    assert_snapshot!(text, @r#"
    made-of-order

      ⚠ the constituents aren't in descending order
       ╭─[ingredients/more.toml:4:11]
     3 │ name = { en = "Pear" }
     4 │ made_of = [{ ingredient = "milk-whole", amount = "20 %" }, { ingredient = "sugar-caster", amount = "50 %" }]
       ·           ─────────────────────────────────────────────────┬────────────────────────────────────────────────
       ·                                                            ╰── a later one is the larger
       ╰────
      hint: a list of ingredients names the largest first
    "#);
}

#[test]
fn constituents_in_a_circle() {
    let text = in_ingredients(
        r#"[[ingredient]]
id = "paste"
name = { en = "Paste" }
made_of = [{ ingredient = "filling" }]

[[ingredient]]
id = "filling"
name = { en = "Filling" }
made_of = [{ ingredient = "sugar-caster" }, { ingredient = "paste" }]"#,
    );
    assert_snapshot!(text, @r#"
    compound-cycle

      × `filling` is made of `paste`, which is made of `filling`
       ╭─[ingredients/more.toml:9:60]
     3 │ name = { en = "Paste" }
     4 │ made_of = [{ ingredient = "filling" }]
       ·                           ────┬────
       ·                               ╰── `paste` is made of this
     5 │
     6 │ [[ingredient]]
     7 │ id = "filling"
     8 │ name = { en = "Filling" }
     9 │ made_of = [{ ingredient = "sugar-caster" }, { ingredient = "paste" }]
       ·                                                            ───┬───
       ·                                                               ╰── `filling` is made of this
       ╰────
      hint: a compound ingredient can't be made of itself, directly or by way of others
    "#);
}

#[test]
fn constituent_that_is_a_recipe() {
    let text = in_ingredient(r#"made_of = [{ ingredient = "light-syrup" }]"#);
    assert_snapshot!(text, @r#"
    wrong-kind

      × `light-syrup` is a recipe, not an ingredient
       ╭─[ingredients/more.toml:4:27]
     3 │ name = { en = "Pear" }
     4 │ made_of = [{ ingredient = "light-syrup" }]
       ·                           ──────┬──────
       ·                                 ╰── a recipe
       ╰────
      hint: only what is bought can stand here
    "#);
}
