//! Every kind of finding as people read it.
//!
//! Each case is a book that is right but for one thing, and the whole of what is shown for it.

mod control;
mod files;
mod ingredients;
mod lines;
mod names;
mod prices;
mod quantities;
mod recipes;
mod rendering;
mod settings;
mod shapes;
mod sheets;
mod sites;
mod steps;
mod values;

use chablon_book::{Files, RenderOptions, read, render};

const BOOK: &str = r#"name = "Saltmarsh Kitchens"
currency = "EUR"
languages = ["en", "fr"]
labels = ["eu"]
"#;

const INGREDIENTS: &str = r#"[[ingredient]]
id = "milk-whole"
name = { en = "Whole milk" }

[[ingredient]]
id = "sugar-caster"
name = { en = "Caster sugar" }
"#;

const SYRUP: &str = r#"id = "light-syrup"
title = { en = "Light syrup" }
[[line]]
ingredient = "sugar-caster"
amount = "500 g"
"#;

const HARBOUR: &str = r#"id = "harbour"
name = "Harbour kitchen"
[[equipment]]
class = "mixer"
capacity = "12 kg"
"#;

/// What is shown for these files, one beside the rest of a sound book replacing the one there.
fn shown(files: &[(&str, &str)]) -> String {
    let sound = [
        ("book.toml", BOOK),
        ("ingredients/dry.toml", INGREDIENTS),
        ("recipes/light-syrup.toml", SYRUP),
        ("sites/harbour.toml", HARBOUR),
    ];
    shown_alone(&[&sound, files].concat())
}

/// What is shown for these files and no others.
fn shown_alone(files: &[(&str, &str)]) -> String {
    let files = Files::new(files.iter().copied());
    let outcome = read(&files);
    render(&outcome.findings, &files, RenderOptions::default())
}

/// What is shown for the settings.
fn in_settings(text: &str) -> String {
    shown(&[("book.toml", text)])
}

/// What is shown for a file of ingredients beside the others.
fn in_ingredients(text: &str) -> String {
    shown(&[("ingredients/more.toml", text)])
}

/// What is shown for an ingredient with these keys after its id and name.
fn in_ingredient(keys: &str) -> String {
    in_ingredients(&format!("[[ingredient]]\nid = \"pear\"\nname = {{ en = \"Pear\" }}\n{keys}\n"))
}

/// What is shown for a recipe.
fn in_recipe(text: &str) -> String {
    shown(&[("recipes/glaze.toml", text)])
}

/// What is shown for a recipe with a sound line and these keys and tables after it.
fn after_a_line(text: &str) -> String {
    in_recipe(&format!(
        "id = \"glaze\"\ntitle = {{ en = \"Glaze\" }}\n[[line]]\ningredient = \"sugar-caster\"\n\
         amount = \"500 g\"\n{text}"
    ))
}

/// What is shown for a recipe with this one line.
fn in_line(keys: &str) -> String {
    in_recipe(&format!("id = \"glaze\"\ntitle = {{ en = \"Glaze\" }}\n[[line]]\n{keys}"))
}

/// What is shown for a recipe whose one line has this amount.
fn as_amount(amount: &str) -> String {
    in_line(&format!("ingredient = \"milk-whole\"\namount = {amount}\n"))
}

/// What is shown for a site with these keys and tables after its name.
fn in_site(text: &str) -> String {
    shown(&[("sites/station.toml", &format!("id = \"station\"\nname = \"Station\"\n{text}"))])
}

/// What is shown for a price list.
fn in_prices(text: &str) -> String {
    shown(&[("prices/group.toml", text)])
}
