//! Problems that are found later point into the files.

use chablon_book::{Files, Span, read};
use chablon_model::RecipeId;

const PEAR: &str = r#"[[ingredient]]
id = "pear"
name = { en = "Pear" }

[[ingredient]]
id = "honey"
name = { en = "Honey" }
density = "1.42 g/mL"
allergens = { "nuts.almond" = "may-contain" }
"#;

const COMPOTE: &str = r#"id = "compote"
title = { en = "Compote" }

[yield]
pieces = 12

[[line]]
ingredient = "pear"
amount = "1 kg"

[[line]]
ingredient = "honey"
amount = "30 mL"

[[step]]
id = "cook"
text = { en = "Cook." }

[[step.control]]
measure = "temperature"
target = "95 °C"
"#;

fn files() -> Files {
    Files::new([
        ("book.toml", "name = 'Book'\ncurrency = 'EUR'\nlanguages = ['en']\n"),
        ("ingredients/fruit.toml", PEAR),
        ("recipes/compote.toml", COMPOTE),
        (
            "prices/group.toml",
            "[[price]]\ningredient = 'pear'\npack = '1 kg'\nprice = '2 EUR'\nfrom = 2026-10-01\n",
        ),
    ])
}

fn at(files: &Files, span: Option<Span>) -> Option<&str> {
    span.map(|span| &files.text(span.file)[span.start..span.end])
}

/// What a field of the recipe is located at.
fn check(line: Option<usize>, field: &str, expected: Option<&str>) {
    let files = files();
    let outcome = read(&files);
    assert_eq!(outcome.findings, []);
    let recipe: RecipeId = "compote".parse().unwrap();
    assert_eq!(at(&files, outcome.locations.locate_problem(&recipe, line, field)), expected);
}

#[test]
fn field_of_a_line_is_located_at_its_value() {
    check(Some(1), "amount", Some("\"30 mL\""));
}

#[test]
fn field_that_is_left_out_is_located_at_its_line() {
    check(Some(1), "tolerance", Some("[[line]]"));
    check(Some(0), "", Some("[[line]]"));
}

#[test]
fn field_of_the_recipe_is_located_however_deep() {
    check(None, "yield.pieces", Some("12"));
    check(None, "step[0].control[0].target", Some("\"95 °C\""));
}

#[test]
fn whole_recipe_is_located_at_its_id() {
    check(None, "", Some("\"compote\""));
    check(None, "density", Some("\"compote\""));
}

#[test]
fn recipe_that_is_not_there_is_not_located() {
    let outcome = read(&files());
    let recipe: RecipeId = "glaze".parse().unwrap();
    assert_eq!(outcome.locations.locate_problem(&recipe, None, ""), None);
}

#[test]
fn documents_of_other_kinds_are_located_too() {
    let files = files();
    let locations = read(&files).locations;
    let honey = "ingredient/honey".parse().unwrap();
    assert_eq!(at(&files, locations.locate(&honey, "density")), Some("\"1.42 g/mL\""));
    assert_eq!(
        at(&files, locations.locate(&honey, "allergens.nuts.almond")),
        Some("\"may-contain\"")
    );
    let prices = "prices/group".parse().unwrap();
    assert_eq!(at(&files, locations.locate(&prices, "price[0].price")), Some("'2 EUR'"));
    let settings = "book/group".parse().unwrap();
    assert_eq!(at(&files, locations.locate(&settings, "currency")), Some("'EUR'"));
}
