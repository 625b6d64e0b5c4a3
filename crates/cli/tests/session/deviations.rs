//! What kitchens make otherwise, with a real hub.

use crate::bench::Session;

pub(crate) const LESS_HONEY: &str = r#"id = "harbour-honey"
site = "harbour"
recipe = "honey-bavarois"
from = 2020-01-01
until = 2099-01-01
reason = "Acacia honey is short until the new harvest"
[[line]]
number = 2
ingredient = "honey-acacia"
times = "0.9"
"#;

/// Nuts where none were.
const ALMOND: &str = r#"id = "harbour-almond"
site = "harbour"
recipe = "light-syrup"
from = 2020-01-01
until = 2099-01-01
reason = "A trial of a syrup with almonds"
[[line]]
number = 2
ingredient = "sugar-caster"
with = "almond-ground"
"#;

/// A session with a hub that has the book, and a kitchen that has taken it.
fn released() -> Session {
    let mut session = Session::with_book();
    session.start_hub();
    for command in [
        "release --book book --note \"First standards\" --yes",
        "kitchen sync --replica harbour.db --site harbour",
    ] {
        let done = session.run_unnoted(command);
        assert_eq!(done.code, 0, "{}", done.stderr);
    }
    session.write("less-honey.toml", LESS_HONEY);
    session
}

#[test]
fn a_kitchen_asks_and_the_chef_grants() {
    let mut session = released();
    session.run("deviations ask less-honey.toml --dry-run");
    session.run("deviations ask less-honey.toml --yes");
    session.run("deviations list");
    session.run("scale --replica harbour.db --recipe honey-bavarois --pieces 12");
    session
        .run("deviations grant harbour-honey --max-share \"8 %\" --note \"Weigh it twice\" --yes");
    session.run("kitchen sync --replica harbour.db --site harbour");
    session.run("scale --replica harbour.db --recipe honey-bavarois --pieces 12");
    session.run("cost --replica harbour.db --recipe honey-bavarois --pieces 12 --on 2026-11-25");
    session.run("kitchen status --replica harbour.db");
    session.run("standards --recipe honey-bavarois --format json --site harbour");
    session.run(
        "where-used --ingredient honey-acacia --site harbour --lot \"L 2611, best before 2028\"",
    );
    session.compare("deviations-granted");
}

#[test]
fn a_new_standard_puts_it_to_the_chef_again() {
    let mut session = released();
    for command in ["ask less-honey.toml --yes", "grant harbour-honey --yes"] {
        let done = session.run_unnoted(&format!("deviations {command}"));
        assert_eq!(done.code, 0, "{}", done.stderr);
    }
    session.edit("recipes/honey-bavarois.toml", "amount = \"174 g\"", "amount = \"176 g\"");
    session.run("release --book book --note \"More gelatine\" --yes");
    session.run("kitchen sync --replica harbour.db --site harbour");
    session.run("cost --replica harbour.db --recipe honey-bavarois --pieces 12 --on 2026-11-25");
    session.run("deviations list --replica harbour.db");
    session.run("standards --replica harbour.db --recipe honey-bavarois");
    session.run("deviations grant harbour-honey --yes");
    session.run("deviations list --site harbour");
    session.run("standards --recipe honey-bavarois");
    session.run("deviations refuse harbour-honey --reason \"The harvest is in\" --yes");
    session.run("kitchen sync --replica harbour.db --site harbour");
    session.run("deviations list --replica harbour.db --format json");
    session.compare("deviations-again");
}

#[test]
fn an_allergen_that_comes_is_granted_by_name_or_not_at_all() {
    let mut session = released();
    session.write("almond.toml", ALMOND);
    let asked = session.run("deviations ask almond.toml --yes");
    assert_eq!(asked.code, 0, "{}", asked.stderr);
    let silent = session.run("deviations grant harbour-almond --yes");
    assert_eq!(silent.code, 1);
    session.compare("deviations-allergen");
}

#[test]
fn a_file_that_is_no_deviation_is_told_where_and_why() {
    let mut session = released();
    session.write("odd.toml", "id = \"Odd\"\nsite = \"harbour\"\nrecipe = \"honey-bavarois\"\nuntil = 2099-01-01\nreson = \"a slip\"\n[[line]]\nnumber = 2\ningredient = \"honey-acacia\"\n");
    session.run("deviations ask odd.toml --yes");
    session.write("slip.toml", &LESS_HONEY.replace("number = 2", "number = 3"));
    session.run("deviations ask slip.toml --yes");
    session.run("deviations grant nobody --yes");
    session.run("deviations list");
    session.compare("deviations-refused");
}
