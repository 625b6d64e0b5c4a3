//! `chablon shock`.

use crate::bench::Session;

#[test]
fn one_price_rises_at_every_kitchen() {
    let mut session = Session::with_book();
    session.run("shock --book book --price honey-acacia=\"+12 %\" --on 2026-11-25");
    session.compare("shock-everywhere");
}

#[test]
fn several_prices_move_at_one_kitchen() {
    let mut session = Session::with_book();
    let moved = "shock --book book --price butter-unsalted=\"9.80 EUR for 1 kg\" \
                 --price honey-acacia=\"-10 %\" --on 2026-11-25 --site";
    session.run(&format!("{moved} harbour"));
    session.run(&format!("{moved} station --language fr"));
    session.compare("shock-kitchen");
}

#[test]
fn what_has_moved_between_two_days() {
    let mut session = Session::with_book();
    session.run("shock --book book --since 2026-09-01 --on 2026-11-25 --site harbour");
    session.run("shock --book book --since 2026-11-24 --on 2026-11-25 --site harbour");
    session.compare("shock-since");
}

#[test]
fn json_has_its_keys_and_nothing_else_on_the_stream() {
    let mut session = Session::with_book();
    let done = session.run(
        "shock --book book --price pectin-nh=\"+50 %\" --site harbour --on 2026-11-25 --format json",
    );
    let shock: serde_json::Value = serde_json::from_str(&done.stdout).expect("JSON");
    assert_eq!(shock["basis"]["rules"], "1");
    let recipes = shock["sites"][0]["recipes"].as_array().expect("a list");
    assert!(recipes.iter().any(|one| one["recipe"] == "pear-buckwheat-entremet"));
    assert!(done.stderr.is_empty());
    session.compare("shock-json");
}

#[test]
fn what_cannot_move_is_refused() {
    let mut session = Session::with_book();
    for (command, code) in [
        ("shock --book book --price honey-acacai=\"+12 %\"", 1),
        ("shock --book book --price honey-acacia=\"+12 %\" --site harbor", 1),
        ("shock --book book --price honey-acacia=\"12 %\"", 2),
        ("shock --book book --price honey-acacia=\"-120 %\"", 2),
        ("shock --book book --price honey-acacia", 2),
        ("shock --book book", 2),
        ("shock --book book --since 2026-09-01 --price honey-acacia=\"+12 %\"", 2),
    ] {
        let done = session.run(command);
        assert_eq!((done.code, done.stdout.as_str()), (code, ""), "{command}: {}", done.stderr);
    }
    session.compare("shock-refused");
}
