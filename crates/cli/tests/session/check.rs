//! `chablon check`.

use crate::bench::Session;

#[test]
fn a_sound_book_is_summed_up_in_a_line() {
    let mut session = Session::with_book();
    session.run("check --book book");
    session.compare("check-sound");
}

#[test]
fn every_error_of_reading_is_shown_in_one_run() {
    let mut session = Session::with_book();
    session.edit("recipes/honey-bavarois.toml", "honey-acacia", "honey-accacia");
    session.edit("recipes/honey-bavarois.toml", "tolerance = \"1 %\"", "tolerence = \"1 %\"");
    session.edit("recipes/light-syrup.toml", "amount = ", "amount = \"3 °C\" # ");
    session.edit("sites/station.toml", "capacity = \"6 kg\"", "capacity = \"6 litres\"");
    session.edit("prices/station.toml", "from = 2026-06-01", "from = 2026-06-31");
    session.run("check --book book");
    session.compare("check-errors-of-reading");
}

#[test]
fn every_error_of_the_figures_is_shown_at_its_place() {
    let mut session = Session::with_book();
    session.edit("ingredients/dairy.toml", "density = \"1.03 g/mL\"\n", "");
    session.edit("recipes/honey-bavarois.toml", "amount = \"174 g\"", "amount = \"1740 g\"");
    session.edit("recipes/gelatine-mass.toml", "amount = \"100 g\"", "amount = \"60 g\"");
    session.edit("prices/group.toml", "price = \"6.40 EUR\"", "price = \"-6.40 EUR\"");
    session.run("check --book book");
    session.edit("prices/group.toml", "price = \"-6.40 EUR\"", "price = \"6.40 EUR\"");
    session.run("check --book book");
    session.compare("check-errors-of-figures");
}

#[test]
fn recipes_that_use_each_other_are_shown_as_a_loop() {
    let mut session = Session::with_book();
    let used = "component = \"pear-buckwheat-entremet\"\namount = \"1 pieces\"";
    let line = format!("[[line]]\n{used}\n\n[[line]]\n");
    session.edit("recipes/light-syrup.toml", "[[line]]\n", &line);
    session.run("check --book book");
    session.run("scale --book book --recipe light-syrup --mass \"1 kg\"");
    session.compare("check-loop");
}

#[test]
fn findings_are_json_when_asked_for() {
    let mut session = Session::with_book();
    session.run("check --book book --format json");
    session.edit("recipes/gelatine-mass.toml", "amount = \"100 g\"", "amount = \"60 g\"");
    let done = session.run("check --book book --format json");
    let parsed: Result<serde_json::Value, _> = serde_json::from_str(&done.stdout);
    assert!(parsed.is_ok() && done.stderr.is_empty());
    session.compare("check-json");
}

#[test]
fn the_current_folder_is_taken_if_it_is_a_book() {
    let mut session = Session::empty();
    session.run("check");
    session.run("check --book nowhere");
    for (path, text) in chablon_saltmarsh::files() {
        session.write(&path, &text);
    }
    session.run("check");
    session.compare("check-where");
}
