//! `chablon declare` and `chablon balance`: what is in it.

use crate::bench::Session;

/// Types a command with two formats.
fn both(session: &mut Session, command: &str) {
    session.run(command);
    let done = session.run(&format!("{command} --format json"));
    let parsed: Result<serde_json::Value, _> = serde_json::from_str(&done.stdout);
    assert!(parsed.is_ok() && done.stderr.is_empty() && done.code == 0, "{}", done.stderr);
}

#[test]
fn a_piece_is_declared_with_all_that_is_in_its_components() {
    let mut session = Session::with_book();
    session.run("declare --book book --recipe pear-buckwheat-entremet --emphasise pear-fresh");
    session.compare("declare-pear-buckwheat-entremet");
}

#[test]
fn a_glaze_in_text_and_as_json() {
    let mut session = Session::with_book();
    both(&mut session, "declare --book book --recipe honey-mirror-glaze");
    session.compare("declare-honey-mirror-glaze");
}

#[test]
fn names_in_the_language_that_is_asked_for() {
    let mut session = Session::with_book();
    session.run("declare --book book --recipe creme-anglaise --language fr --limits fr");
    session.run("balance --book book --recipe creme-anglaise --language fr");
    session.compare("declare-language");
}

#[test]
fn labels_of_two_regimes_beside_each_other() {
    let mut session = Session::with_book();
    session.edit("book.toml", "labels = [\"eu\"]", "labels = [\"us\", \"eu\"]");
    session.run("declare --book book --recipe croissant");
    session.compare("declare-regimes");
}

#[test]
fn the_balance_of_a_formula_in_text_and_as_json() {
    let mut session = Session::with_book();
    both(&mut session, "balance --book book --recipe creme-anglaise");
    session.compare("balance-creme-anglaise");
}

#[test]
fn what_is_not_known_is_named_and_keeps_a_recipe_from_being_released() {
    let mut session = Session::with_book();
    session.edit("ingredients/eggs.toml", "other_allergens = \"free\"\n", "");
    session.edit("ingredients/eggs.toml", "protein = ", "# protein = ");
    session.run("check --book book");
    session.run("declare --book book --recipe honey-biscuit");
    session.run("release --book book --note x --yes --hub http://127.0.0.1:1");
    session.compare("declare-unknown");
}

#[test]
fn more_water_boiled_off_than_was_there_is_an_error_at_its_stage() {
    let mut session = Session::with_book();
    session.edit("ingredients/water.toml", "water = \"100 g\"", "water = \"2 g\"");
    session.run("check --book book");
    session.run("declare --book book --recipe light-syrup");
    session.compare("declare-water-below-zero");
}

#[test]
fn what_is_declared_elsewhere_stands_beside_what_is_computed() {
    let mut session = Session::with_book();
    let table =
        "\n[declared]\nenergy_kj = \"1540\"\nfat = \"15 g\"\nsugars = \"8.5 g\"\nsalt = \"2 g\"\n";
    // Ahead of the lines, as TOML takes it too.
    session.edit("recipes/honey-loaf.toml", "\n[[line]]", &format!("{table}\n[[line]]"));
    session.run("check --book book");
    session.run("declare --book book --recipe honey-loaf");
    session.run("declare --book book --recipe honey-loaf --language fr");
    session.compare("declare-beside-computed");
}

#[test]
fn names_that_the_book_does_not_have() {
    let mut session = Session::with_book();
    session.run("declare --book book --recipe light-sirup");
    session.run("declare --book book --recipe light-syrup --emphasise sugar-castor");
    session.run("declare --book book --recipe light-syrup --limits mars");
    session.run("balance --book book --recipe trout");
    session.compare("declare-names");
}

#[test]
fn a_changed_allergen_names_every_recipe_and_kitchen() {
    let mut session = Session::with_book();
    for (path, text) in chablon_saltmarsh::files() {
        session.write(&format!("before/{path}"), &text);
    }
    session.run("allergens --book book --before before");
    session.edit(
        "ingredients/eggs.toml",
        "egg = \"contains\"",
        "egg = \"contains\", sesame = \"may-contain\"",
    );
    both(&mut session, "allergens --book book --before before");
    session.run("allergens --book book --before before --language fr");
    session.run("allergens --book book");
    session.start_hub();
    session.run("release --book before --note First --author Chef --to group:coast --yes");
    session.run("allergens --book book");
    session.compare("allergens-reach");
}
