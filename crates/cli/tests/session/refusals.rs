//! What is refused, and how that is told.

use crate::bench::Session;

/// Runs commands on the Saltmarsh book, and expects them all to end so.
fn refused(name: &str, code: i32, commands: &[&str]) {
    let mut session = Session::with_book();
    for command in commands {
        let done = session.run(command);
        assert_eq!(done.code, code, "{command}: {}", done.stderr);
        assert_eq!(done.stdout, "", "{command}");
    }
    session.compare(name);
}

#[test]
fn names_that_the_book_does_not_have() {
    refused(
        "refused-names",
        1,
        &[
            "scale --book book --recipe honey-bavaroi --pieces 12",
            "scale --book book --recipe trout --pieces 12",
            "scale --book book --recipe honey-bavarois --pieces 12 --site harbor",
            "scale --book book --recipe honey-bavarois --pieces 12 --site rome",
        ],
    );
}

#[test]
fn demands_that_cannot_be_met() {
    refused(
        "refused-demands",
        1,
        &[
            "scale --book book --recipe light-syrup --pieces 5",
            "scale --book book --recipe honey-bavarois --pieces 0",
            "scale --book book --recipe honey-bavarois --pieces -3",
            "scale --book book --recipe light-syrup --on-hand honey-acacia=\"1 kg\"",
            "scale --book book --recipe light-syrup --on-hand honey-acacai=\"1 kg\"",
            "scale --book book --recipe honey-bavarois --on-hand honey-acacia=\"1 mg\"",
            "scale --book book --recipe laminated-dough --mass \"20 g\" --site harbour",
            "scale --book book --product croissant=6 --recipe honey-loaf --on-hand butter-unsalted=\"1 kg\"",
        ],
    );
}

#[test]
fn a_book_with_an_error_gives_no_figures() {
    let mut session = Session::with_book();
    session.edit("recipes/gelatine-mass.toml", "amount = \"100 g\"", "amount = \"1000 g\"");
    session.run("scale --book book --recipe light-syrup --mass \"1 kg\"");
    session.run("cost --book book --recipe light-syrup --mass \"1 kg\" --site harbour");
    session.run("release --book book --note x --yes --hub http://127.0.0.1:1");
    session.compare("refused-book");
}

#[test]
fn commands_that_are_not_typed_as_they_can_be() {
    refused(
        "refused-usage",
        2,
        &[
            "scale --book book --recipe honey-bavarois",
            "scale --book book --recipe honey-bavarois --pieces 3 --mass \"3 kg\"",
            "scale --book book --pieces 3",
            "scale --book book --product honey-bavarois",
            "scale --book book --product honey-bavarois=\"3 L\"",
            "scale --book book --recipe honey-bavarois --mass 3",
            "scale --book book --recipe honey-bavarois --mass \"3 L\"",
            "scale --book book --recipe honey-bavarois --pieces many",
            "scale --book book --recipe honey-bavarois --on-hand honey-acacia",
            "scale --book book --recipe \"Honey bavarois\" --pieces 3",
            "scale --book book --replica x.db --recipe honey-bavarois --pieces 3",
            "scale --recipe honey-bavarois --pieces 3",
            "scale --book book --recipe honey-bavarois --pieces 3 --at 2026-01-01",
            "cost --book book --recipe honey-bavarois --pieces 3",
            "cost --book book --recipe honey-bavarois --pieces 3 --site harbour --on 2026-02-30",
            "cost --book book --recipe honey-bavarois --pieces 3 --site harbour --food-share \"0 %\"",
            "release --book book --note x --to pilot --hub http://127.0.0.1:1",
            "release --book book --note x --from soon --hub http://127.0.0.1:1",
            "release --book book --note x --hub \"no hub\"",
            "withdraw --recipe honey-bavarois --reason x --hub http://127.0.0.1:1",
            "standards",
            "scle",
        ],
    );
}

#[test]
fn hubs_and_replicas_that_are_not_there() {
    refused(
        "refused-places",
        1,
        &[
            "scale --replica none.db --recipe honey-bavarois --pieces 3",
            "kitchen status --replica none.db",
            "release --book book --note x --yes --hub http://127.0.0.1:1",
            "standards --hub http://127.0.0.1:1",
            "kitchen sync --replica harbour.db --site harbour --hub http://127.0.0.1:1",
            "hub backup --store none.db --to copy.db",
        ],
    );
}

#[test]
fn help_says_what_there_is() {
    let mut session = Session::empty();
    session.run("--help");
    session.run("scale --help");
    session.compare("help");
}
