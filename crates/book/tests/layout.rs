//! How a written book is laid out, whichever way it was authored.

use chablon_book::{Files, RenderOptions, read, render, write};
use insta::assert_snapshot;

const SETTINGS: &str = r#"languages = ["en", "fr"]
labels = ["eu"]
currency = "EUR"
name = "Saltmarsh Kitchens"
"#;

const INGREDIENTS: &str = r#"
[[ingredient]]
id = "cocoa-mass"
name.en = "Cocoa mass"

[[ingredient]]
id = "sugar"
name.en = "Sugar"

[[ingredient]]
content = { fat = "37.8 g", water = "0.9 g" }
id = "chocolate"
note = "Couverture"
name.fr = "Chocolat"
name.en = "Chocolate"
allergens = { soya = "contains", "nuts.almond" = "may-contain" }
made_of = [{ ingredient = "cocoa-mass", amount = "58 %" }, { ingredient = "sugar" }]
"#;

const GLAZE: &str = r#"id = "glaze"
note = "Twice: \"warm\", then cold.\nNever hot."
title = { en = "Glaze" }
storage = { condition = "chilled", keeps = "72 h" }
loss = [{ residue = "30 g" }, { fraction = "4 %", kind = "water", stage = "cook" }]
yield = { pieces = 48, piece_mass = "1/2 oz" }

[[step]]
text = { fr = "Chauffer.", en = "Warm." }
id = "warm"
passive = "1 h"
control = [{ measure = "temperature", max = "82 °C", target = "176 °F", critical = true }]

[[step]]
id = "whip"
text = { en = "Whip." }
labour = "per-piece"
equipment = "mixer"
after = []

[[step]]
id = "fold"
text = { en = "Fold." }
labour = "per-batch"
after = ["warm", "whip"]

[[line]]
amount = "1 1/2 kg"
base = true
scaling = "proportional"
ingredient = "chocolate"

[[line]]
step = "fold"
tolerance = "0.50 %"
base = false
amount = "5 %"
ingredient = "sugar"
scaling = "per-batch"
"#;

const HARBOUR: &str = r#"groups = ["coast"]
name = "Harbour kitchen"
id = "harbour"
equipment = [{ capacity = "12 kg", class = "mixer" }]
scale = [{ increment = "1 g", capacity = "6 kg", name = "bench" }]
"#;

const PRICES: &str = r#"site = "harbour"
rate = [{ on = 2026-10-01, rate = "1.170", to = "EUR", from = "GBP" }]
[[price]]
from = 2026-10-01
price = "31.20 EUR"
ingredient = "chocolate"
pack = "5 kg"
preferred = true
"#;

/// The text of one file as it is written.
fn written(path: &str) -> String {
    let files = Files::new([
        ("book.toml", SETTINGS),
        ("ingredients/all.toml", INGREDIENTS),
        ("recipes/glaze.toml", GLAZE),
        ("sites/harbour.toml", HARBOUR),
        ("prices/own.toml", PRICES),
    ]);
    let outcome = read(&files);
    assert_eq!(render(&outcome.findings, &files, RenderOptions::default()), "");
    let written = write(&outcome.book.expect("no finding is no error"));
    written.into_iter().find(|(name, _)| name == path).expect("the file is written").1
}

#[test]
fn layout_of_the_settings() {
    assert_snapshot!(written("book.toml"), @r#"
    name = "Saltmarsh Kitchens"
    currency = "EUR"
    languages = ["en", "fr"]
    labels = ["eu"]
    "#);
}

#[test]
fn layout_of_a_compound_ingredient() {
    assert_snapshot!(written("ingredients/chocolate.toml"), @r#"
    [[ingredient]]
    id = "chocolate"
    name = { en = "Chocolate", fr = "Chocolat" }
    allergens = { "nuts.almond" = "may-contain", soya = "contains" }
    made_of = [
      { ingredient = "cocoa-mass", amount = "58 %" },
      { ingredient = "sugar" },
    ]
    note = "Couverture"

    [ingredient.content]
    water = "0.9 g"
    fat = "37.8 g"
    "#);
}

#[test]
fn layout_of_a_recipe() {
    assert_snapshot!(written("recipes/glaze.toml"), @r#"
    id = "glaze"
    title = { en = "Glaze" }
    note = """
    Twice: "warm", then cold.
    Never hot."""

    [yield]
    pieces = 48
    piece_mass = "1/2 oz"

    [[line]]
    ingredient = "chocolate"
    amount = "1 1/2 kg"
    base = true

    [[line]]
    ingredient = "sugar"
    amount = "5 %"
    scaling = "per-batch"
    tolerance = "0.50 %"
    step = "fold"

    [[loss]]
    residue = "30 g"

    [[loss]]
    stage = "cook"
    kind = "water"
    fraction = "4 %"

    [[step]]
    id = "warm"
    text = { en = "Warm.", fr = "Chauffer." }
    passive = "1 h"

    [[step.control]]
    measure = "temperature"
    target = "176 °F"
    max = "82 °C"
    critical = true

    [[step]]
    id = "whip"
    text = { en = "Whip." }
    labour = "per-piece"
    equipment = "mixer"
    after = []

    [[step]]
    id = "fold"
    text = { en = "Fold." }
    after = ["warm", "whip"]

    [storage]
    condition = "chilled"
    keeps = "72 h"
    "#);
}

#[test]
fn layout_of_a_site() {
    assert_snapshot!(written("sites/harbour.toml"), @r#"
    id = "harbour"
    name = "Harbour kitchen"
    groups = ["coast"]

    [[scale]]
    name = "bench"
    capacity = "6 kg"
    increment = "1 g"

    [[equipment]]
    class = "mixer"
    capacity = "12 kg"
    "#);
}

#[test]
fn layout_of_a_price_list() {
    assert_snapshot!(written("prices/own.toml"), @r#"
    site = "harbour"

    [[price]]
    ingredient = "chocolate"
    pack = "5 kg"
    price = "31.20 EUR"
    from = 2026-10-01
    preferred = true

    [[rate]]
    from = "GBP"
    to = "EUR"
    rate = "1.170"
    on = 2026-10-01
    "#);
}
