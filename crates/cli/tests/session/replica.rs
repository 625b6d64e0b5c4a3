//! A kitchen on its own: the hub is gone, or the replica is damaged.

use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};

use crate::bench::{Session, program};

/// A kitchen that has taken the book, with the hub stopped since.
fn alone() -> Session {
    let mut session = Session::with_book();
    session.start_hub();
    session.run_unnoted("release --book book --note \"First standards\" --yes");
    let done = session.run_unnoted("kitchen sync --replica harbour.db --site harbour");
    assert_eq!(done.code, 0, "{}", done.stderr);
    session.stop_hub();
    session
}

#[test]
fn a_kitchen_works_on_without_its_hub() {
    let mut session = alone();
    session.run("kitchen sync --replica harbour.db --site harbour --hub http://127.0.0.1:1");
    session.run("scale --replica harbour.db --recipe light-syrup --mass \"3 kg\"");
    session.run("cost --replica harbour.db --recipe light-syrup --mass \"3 kg\" --on 2026-11-25");
    session.run("kitchen use --replica harbour.db");
    session.run("kitchen status --replica harbour.db");
    session.compare("replica-alone");
}

#[test]
fn book_and_replica_give_the_same_json() {
    let session = alone();
    for command in [
        "scale --recipe pear-buckwheat-entremet --pieces 120 --site harbour",
        "cost --recipe pear-buckwheat-entremet --pieces 120 --site harbour --on 2026-11-25",
    ] {
        let of = |source: &str| session.run_unnoted(&format!("{command} {source} --format json"));
        let (book, replica) = (of("--book book"), of("--replica harbour.db"));
        assert_eq!((book.code, replica.code), (0, 0), "{}", replica.stderr);
        assert_eq!(book.stdout, replica.stdout);
    }
}

#[test]
fn what_a_replica_does_not_have_is_refused() {
    let mut session = alone();
    for command in [
        "scale --replica harbour.db --recipe honey-bavaroi --pieces 12",
        "scale --replica harbour.db --recipe honey-bavarois --pieces 12 --site station",
        "scale --replica harbour.db --recipe honey-bavarois --pieces 12 --at 2020-01-01",
        "kitchen use trout --replica harbour.db",
        "kitchen sync --replica harbour.db --site station --hub http://127.0.0.1:1",
    ] {
        let done = session.run(command);
        assert_eq!(done.code, 1, "{command}");
    }
    session.compare("replica-refusals");
}

#[test]
fn a_damaged_replica_is_told_and_rebuilt() {
    let mut session = alone();
    session.write("harbour.db", "this is no replica");
    for beside in ["harbour.db-wal", "harbour.db-shm"] {
        let _ = std::fs::remove_file(session.path(beside));
    }
    session.run("kitchen status --replica harbour.db");
    session.run("scale --replica harbour.db --recipe light-syrup --mass \"3 kg\"");
    session.run("kitchen rebuild --replica harbour.db --site harbour --hub http://127.0.0.1:1");
    session.start_hub();
    session.run("kitchen rebuild --replica harbour.db --site harbour");
    session.run("kitchen status --replica harbour.db");
    session.compare("replica-damaged");
}

#[test]
fn a_kitchen_that_follows_tells_what_is_new_and_stops_when_told() {
    let mut session = Session::with_book();
    session.start_hub();
    session.run_unnoted("release --book book --note \"First standards\" --yes");
    let mut follow = program(&session.path(""));
    follow.args(["kitchen", "follow", "--replica", "harbour.db", "--site", "harbour"]);
    let mut following = follow
        .args(["--hub", session.hub_url()])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program runs");
    let mut lines = BufReader::new(following.stdout.take().expect("a pipe")).lines();
    let mut next = || lines.next().expect("another line").expect("text");
    assert!(next().ends_with("harbour is up to date (feed position 4)."));
    assert_eq!(next(), "In force: 25 recipes, 50 ingredients, 1 site, 2 price lists.");
    session.edit("recipes/honey-bavarois.toml", "amount = \"170 g\"", "amount = \"150 g\"");
    session.run_unnoted("release --book book --note \"Less honey\" --yes");
    assert!(next().ends_with("harbour is up to date (feed position 5)."));
    assert_eq!(next(), "Released: Less honey");
    assert_eq!(next(), "  recipe honey-bavarois: revision 2");
    assert_eq!(next(), "  recipe pear-buckwheat-entremet: revision 2");
    session.stop_hub();
    let pid = following.id().to_string();
    let mut notes = BufReader::new(following.stderr.take().expect("a pipe")).lines();
    let away = notes.next().expect("a note").expect("text");
    assert!(away.contains("The hub is out of reach"), "{away}");
    assert!(Command::new("kill").args(["-TERM", &pid]).status().expect("kill runs").success());
    assert_eq!(following.wait().expect("it ends").code(), Some(0));
}
