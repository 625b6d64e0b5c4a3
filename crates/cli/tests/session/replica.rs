//! A kitchen on its own: the hub is gone, or the replica is damaged.

use std::io::{BufRead, BufReader};
use std::process::{Command, Stdio};

use chablon_sdk::access::AccessToken;
use chablon_sdk::arith::Target;
use chablon_sdk::figures::Plan;
use chablon_sdk::model::Moment;
use chablon_sdk::{Client, Error, Options, Replica};

use serde_json::Value;

use crate::bench::{Done, Running, Session, program};

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
        let read = |done: &Done| -> Value { serde_json::from_str(&done.stdout).expect("JSON") };
        let (book, mut replica) = (read(&book), read(&replica));
        let age = replica.as_object_mut().and_then(|object| object.remove("replica"));
        assert!(age.is_some_and(|age| age["overdue"] == false), "it says how old it is");
        assert_eq!(book, replica);
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

/// A kitchen that follows the session's hub and serves its tools; its address.
fn serving(session: &Session, arguments: &[&str]) -> (Running, String) {
    let mut follow = program(&session.path(""));
    follow.args(["kitchen", "follow", "--replica", "harbour.db", "--site", "harbour"]);
    follow.args(["--hub", session.hub_url(), "--listen", "127.0.0.1:0"]).args(arguments);
    let streams = follow.stdout(Stdio::piped()).stderr(Stdio::null());
    let mut following = Running(streams.spawn().expect("the program runs"));
    let mut lines = BufReader::new(following.0.stdout.take().expect("a pipe")).lines();
    let mut next = || lines.next().expect("another line").expect("text");
    let told = next();
    let url = told.split_whitespace().find(|word| word.starts_with("http://"));
    let url = url.unwrap_or_else(|| panic!("no address in {told}")).to_owned();
    assert!(next().ends_with("harbour is up to date (feed position 4)."));
    // Whoever reads no more must not make it stop.
    std::thread::spawn(move || lines.for_each(drop));
    (following, url)
}

/// What a tool asks of the kitchen.
fn scaled(url: &str, options: Options) -> Result<Plan, Error> {
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    runtime.block_on(async {
        let client = Client::connect([url], options.with_retries(0))?;
        let (site, recipe) = ("harbour".parse().expect("a site"), "honey-bavarois");
        let recipe = recipe.parse().expect("a recipe");
        client.scale(&site, &recipe, &Target::pieces(12), None).await
    })
}

#[test]
fn a_kitchen_that_follows_serves_its_tools_hub_or_no_hub() {
    let mut session = Session::with_book();
    session.start_hub();
    session.run_unnoted("release --book book --note \"First standards\" --yes");
    let (_following, url) = serving(&session, &[]);
    session.stop_hub();
    let mut plan = scaled(&url, Options::default()).expect("a plan").to_json();
    let replica = plan["basis"].as_object_mut().and_then(|basis| basis.remove("replica"));
    assert!(replica.is_some_and(|replica| replica["heard_at_ms"].is_number()));
    let scale = "scale --replica harbour.db --recipe honey-bavarois --pieces 12 --format json";
    let done = session.run_unnoted(scale);
    let here: Value = serde_json::from_str(&done.stdout).expect("JSON");
    assert_eq!((&plan["ingredients"], &plan["basis"]), (&here["ingredients"], &here["basis"]));
    assert_eq!(plan["products"], here["products"]);
}

#[test]
fn beyond_the_machine_a_kitchen_asks_its_tools_for_a_token() {
    let mut session = Session::with_book();
    session.start_hub();
    session.run_unnoted("release --book book --note \"First standards\" --yes");
    let follow = "kitchen follow --replica harbour.db --site harbour --listen 0.0.0.0:0";
    let done = session.run_unnoted(follow);
    assert_eq!(done.code, 2, "{}", done.stderr);
    assert!(done.stderr.contains("--listen-token FILE"), "{}", done.stderr);

    let (_following, url) = serving(&session, &["--listen-token", "tools.token"]);
    let token = std::fs::read_to_string(session.path("tools.token")).expect("a token was made");
    let token: AccessToken = token.trim().parse().expect("a token");
    assert!(scaled(&url, Options::default()).is_err_and(|error| error.is_denied()));
    scaled(&url, Options::default().with_token(token)).expect("a plan");
    let done = session.run_unnoted(&format!("{follow} --listen-token book/book.toml"));
    assert_eq!(done.code, 1, "{}", done.stderr);
}

/// A kitchen that last heard of its hub three days ago.
fn silent() -> Session {
    let mut session = Session::with_book();
    session.start_hub();
    session.run_unnoted("release --book book --note \"First standards\" --yes");
    let (path, url) = (session.path("harbour.db"), session.hub_url().to_owned());
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    runtime.block_on(async {
        let then = Moment(chablon_sdk::now().0 - 3 * 24 * 60 * 60 * 1000);
        let client = Client::connect([url], Options::default()).expect("an address");
        let site = "harbour".parse().expect("a site");
        let replica = Replica::open(path, site).await.expect("a replica").with_clock(move || then);
        replica.sync(&client).await.expect("a hub");
        replica.close().await;
    });
    session.stop_hub();
    session
}

#[test]
fn how_old_it_is_stands_beside_all_that_a_replica_says() {
    let mut session = silent();
    session.run("kitchen status --replica harbour.db");
    session.run("kitchen status --replica harbour.db --format json");
    session.run("standards --replica harbour.db --recipe light-syrup");
    session.run("scale --replica harbour.db --recipe light-syrup --mass \"3 kg\"");
    session.run("scale --replica harbour.db --recipe light-syrup --mass \"3 kg\" --language fr");
    session.run("where-used --replica harbour.db --ingredient honey-acacia");
    session.run("deviations list --replica harbour.db");
    session.compare("replica-overdue");
    let hub = "--hub http://127.0.0.1:1";
    session.run_unnoted(&format!("kitchen sync --replica new.db --site harbour {hub}"));
    let never = session.run_unnoted("kitchen status --replica new.db");
    assert!(
        never.stdout.contains("! harbour was never up to date with any hub"),
        "{}",
        never.stdout
    );
    for command in [
        "scale --recipe light-syrup --mass \"3 kg\"",
        "cost --recipe light-syrup --mass \"3 kg\" --on 2026-11-25",
        "shock --price sugar-caster=\"+10 %\" --on 2026-11-25",
        "declare --recipe light-syrup",
        "balance --recipe light-syrup",
        "standards",
        "where-used --ingredient honey-acacia",
    ] {
        let done = session.run_unnoted(&format!("{command} --replica harbour.db --format json"));
        let value: Value = serde_json::from_str(&done.stdout).unwrap_or_else(|error| {
            panic!("{command}: {error}: {}", done.stderr);
        });
        assert_eq!(value["replica"]["overdue"], true, "{command}");
        assert!(value["replica"]["heard_at_ms"].is_number(), "{command}");
    }
}
