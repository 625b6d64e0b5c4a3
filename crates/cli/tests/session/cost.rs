//! `chablon cost`.

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
fn a_cost_for_each_kitchen(target: &str, site: &str) {
    let mut session = Session::with_book();
    session.run(&format!(
        "cost --book book --recipe {target} --site {site} --on 2026-11-25 --food-share \"28 %\""
    ));
    let piece = target.split_whitespace().next().unwrap_or_default();
    session.compare(&format!("cost-{piece}-{site}"));
}

#[test]
fn prices_are_those_of_the_day() {
    let mut session = Session::with_book();
    for day in ["2026-10-01", "2026-12-15"] {
        session.run(&format!(
            "cost --book book --recipe light-syrup --mass \"10 kg\" --site station --on {day}"
        ));
    }
    session.compare("cost-days");
}

#[test]
fn what_is_missing_makes_a_lower_bound() {
    let mut session = Session::with_book();
    let command = "cost --book book --recipe light-syrup --mass \"1 kg\" --on 2026-05-01 --site";
    session.run(&format!("{command} millrace"));
    session.run(&format!("{command} station"));
    session.run(&format!("{command} station --format json"));
    session.compare("cost-incomplete");
}

#[test]
fn json_has_its_keys_and_nothing_else_on_the_stream() {
    let mut session = Session::with_book();
    let done = session.run(
        "cost --book book --recipe light-syrup --mass \"3 kg\" --site harbour --on 2026-11-25 --food-share 28% --format json",
    );
    let cost: serde_json::Value = serde_json::from_str(&done.stdout).expect("JSON");
    let keys =
        ["currency", "complete", "missing", "food", "labour", "total", "per_piece", "per_kg"];
    for key in keys.into_iter().chain(["ingredients", "order", "price_for_food_share"]) {
        assert!(cost.get(key).is_some(), "{key}");
    }
    assert!(done.stderr.is_empty());
    session.compare("cost-json");
}

#[test]
fn several_products_are_one_order() {
    let mut session = Session::with_book();
    session.run(
        "cost --book book --product croissant=24 --product pear-danish=48 --site harbour \
         --on 2026-11-25 --food-share 28%",
    );
    session.compare("cost-several");
}

#[test]
fn today_is_the_day_if_none_is_named() {
    let session = Session::with_book();
    let done =
        session.run_unnoted("cost --book book --recipe light-syrup --mass \"3 kg\" --site harbour");
    assert_eq!(done.code, 0, "{}", done.stderr);
    assert!(done.stdout.contains("Prices of 2"), "{}", done.stdout);
}
