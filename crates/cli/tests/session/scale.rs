//! `chablon scale`.

use test_case::test_case;

use crate::bench::Session;

#[test_case("pear-buckwheat-entremet --pieces 120", "harbour"; "entremets at the harbour")]
#[test_case("pear-buckwheat-entremet --pieces 120", "millrace"; "entremets at the millrace")]
#[test_case("pear-buckwheat-entremet --pieces 120", "station"; "entremets at the station")]
#[test_case("croissant --pieces 96", "harbour"; "croissants at the harbour")]
#[test_case("croissant --pieces 96", "millrace"; "croissants at the millrace")]
#[test_case("croissant --pieces 96", "station"; "croissants at the station")]
#[test_case("honey-loaf --pieces 40", "harbour"; "loaves at the harbour")]
#[test_case("honey-loaf --pieces 40", "millrace"; "loaves at the millrace")]
#[test_case("honey-loaf --pieces 40", "station"; "loaves at the station")]
fn a_sheet_for_each_kitchen(target: &str, site: &str) {
    let mut session = Session::with_book();
    session.run(&format!("scale --book book --recipe {target} --site {site}"));
    let piece = target.split_whitespace().next().unwrap_or_default();
    session.compare(&format!("scale-{piece}-{site}"));
}

#[test]
fn every_way_to_say_how_much() {
    let mut session = Session::with_book();
    for target in [
        "--pieces 48",
        "--mass \"3 kg\"",
        "--factor 1.5",
        "--batches 3",
        "--on-hand honey-acacia=\"1 kg\"",
    ] {
        session.run(&format!(
            "scale --book book --recipe honey-mirror-glaze {}",
            match target {
                "--pieces 48" => "--mass \"1 1/2 lb\"",
                other => other,
            }
        ));
    }
    session.compare("scale-targets");
}

/// A book whose harbour states the trays of its oven and its freezer.
fn with_trays() -> Session {
    let session = Session::with_book();
    let tray = r#"tray = { length = "60 cm", width = "40 cm", gap = "2 cm", edge = "1 cm" }"#;
    let oven = format!("capacity = \"18 kg\"\ntrays = 3\n{tray}\n");
    session.edit("sites/harbour.toml", "capacity = \"18 kg\"\n", &oven);
    let freezer = "capacity = \"25 kg\"\ntrays = 10\ntray_pieces = 24\n";
    session.edit("sites/harbour.toml", "capacity = \"25 kg\"\n", freezer);
    let sized = "pieces = 56\nrectangle = [\"15 cm\", \"7 cm\"]\n";
    session.edit("recipes/croissant.toml", "pieces = 56\n", sized);
    session
}

#[test]
fn trays_and_loads_are_told_where_the_kitchen_states_its_trays() {
    let mut session = with_trays();
    let croissants = "scale --book book --recipe croissant --site harbour";
    session.run(&format!("{croissants} --pieces 96"));
    session.run(&format!("{croissants} --pieces 7 --language fr"));
    session.run("scale --book book --recipe pear-buckwheat-entremet --site harbour --pieces 120 --language fr");
    session.compare("scale-trays");
}

#[test]
fn trays_and_loads_stand_in_json_with_the_component() {
    let session = with_trays();
    let told = session.run_unnoted("scale --book book --recipe pear-buckwheat-entremet --site harbour --pieces 250 --format json");
    let plan: serde_json::Value = serde_json::from_str(&told.stdout).unwrap();
    let entremet = plan["components"].as_array().unwrap().last().unwrap();
    let freezer = serde_json::json!([{
        "equipment": "freezer", "pieces": 250, "per_tray": 24, "trays": 11, "last_tray": 10,
        "per_load": 10, "loads": 2, "last_load": 1,
    }]);
    assert_eq!(entremet["trays"], freezer);
}

#[test]
fn without_a_kitchen_the_weights_are_exact() {
    let mut session = Session::with_book();
    session.run("scale --book book --recipe hazelnut-choux --pieces 36");
    session.compare("scale-no-site");
}

#[test]
fn what_a_scale_cannot_weigh_is_told_at_the_line() {
    let mut session = Session::with_book();
    session.run("scale --book book --recipe pear-compote-insert --pieces 2 --site millrace");
    session.run(
        "scale --book book --recipe pear-compote-insert --pieces 2 --site millrace --language fr",
    );
    session.compare("scale-flags");
}

#[test]
fn a_language_may_be_asked_for() {
    let mut session = Session::with_book();
    session.run("scale --book book --recipe buckwheat-streusel --mass \"2 kg\" --site harbour --language fr");
    session.run("scale --book book --recipe buckwheat-streusel --mass \"2 kg\" --site station --language en");
    session.compare("scale-language");
}

#[test]
fn json_has_its_keys_and_nothing_else_on_the_stream() {
    let mut session = Session::with_book();
    let done = session
        .run("scale --book book --recipe light-syrup --mass \"3 kg\" --site harbour --format json");
    let plan: serde_json::Value = serde_json::from_str(&done.stdout).expect("JSON");
    for key in ["recipe", "target", "site", "components", "ingredients"] {
        assert!(plan.get(key).is_some(), "{key}");
    }
    assert!(done.stderr.is_empty());
    session.compare("scale-json");
}

#[test]
fn several_products_are_one_plan() {
    let mut session = Session::with_book();
    let saturday = "--recipe pear-danish --pieces 48 --product hazelnut-choux=36 \
                    --product light-syrup=\"3 kg\" --site harbour";
    session.run(&format!("scale --book book {saturday}"));
    session.run(
        "scale --book book --product croissant=24 --product pear-danish=\"1 batch\" --language fr",
    );
    let done = session.run_unnoted(&format!("scale --book book {saturday} --format json"));
    let plan: serde_json::Value = serde_json::from_str(&done.stdout).expect("JSON");
    assert!(plan["recipe"].is_null() && plan["target"].is_null());
    let products = plan["products"].as_array().expect("a list");
    let recipes: Vec<&str> =
        products.iter().filter_map(|product| product["recipe"].as_str()).collect();
    assert_eq!(recipes, ["pear-danish", "hazelnut-choux", "light-syrup"]);
    let made = plan["components"].as_array().expect("a list").iter();
    let creams = made.filter(|component| component["recipe"] == "pastry-cream");
    assert_eq!(creams.count(), 1, "what both use is made once");
    session.compare("scale-several");
}

#[test]
fn a_reader_that_goes_away_is_no_error() {
    use std::process::Stdio;
    let session = Session::with_book();
    let mut program = crate::bench::program(&session.path(""));
    program.args(["scale", "--book", "book", "--recipe", "hazelnut-choux", "--pieces", "36"]);
    let mut process =
        program.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the program runs");
    drop(process.stdout.take());
    let output = process.wait_with_output().expect("the program ends");
    assert_eq!((output.status.code(), output.stderr), (Some(0), Vec::new()));
}
