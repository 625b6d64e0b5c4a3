//! A group that signs: keys, a root, a hub with a key of its own, kitchens that have pinned the root,
//! and a bundle on a stick.

use std::io::{BufRead as _, BufReader};
use std::path::Path;
use std::process::Stdio;

use chablon_sdk::model::Moment;
use chablon_sdk::publish::Terms;
use chablon_sdk::{Client, Options, Pin, Replica};
use chablon_testkit::trust::{HUB_KEY, RELEASE_KEYS, ROOT_KEYS, key, root, signed_root};
use chablon_testkit::{Keeping, TestClock, TestHub, sample};

use crate::bench::{Running, Session, program};

const RELEASE: &str = "release --book book --note \"First standards\" --yes";

/// A session with keys and a root: two of three sign for the root, the chef releases.
fn with_keys() -> Session {
    let session = Session::with_book();
    session.write("pass.txt", "pear and honey\n");
    for (file, holder) in [
        ("chef-root.key", "Group pastry chef, root"),
        ("deputy-root.key", "Deputy, root"),
        ("safe-root.key", "The safe"),
        ("chef.key", "Group pastry chef"),
    ] {
        let made = session.run_unnoted(&format!(
            "keys new {file} --holder \"{holder}\" --passphrase-file pass.txt"
        ));
        assert_eq!(made.code, 0, "{}", made.stderr);
    }
    let made = session.run_unnoted("keys new hub.key --holder \"The hub\" --plain");
    assert_eq!(made.code, 0, "{}", made.stderr);
    session
}

const ROOT: &str = "keys root root-1 --root-key chef-root.key --root-key deputy-root.key \
    --root-key safe-root.key --root-threshold 2 --release-key chef.key --hub-key hub.key";

/// The same with the root signed and published, and the book released.
fn signed() -> Session {
    let mut session = with_keys();
    session.start_hub_with(&["--hub-key", "hub.key"]);
    for command in [
        &format!("{ROOT} --sign chef-root.key --sign deputy-root.key --passphrase-file pass.txt"),
        "keys publish root-1",
        &format!("{RELEASE} --key chef.key --passphrase-file pass.txt"),
    ] {
        let done = session.run_unnoted(command);
        assert_eq!(done.code, 0, "{command}: {}", done.stderr);
    }
    session
}

#[test]
fn keys_are_made_and_a_root_is_signed_by_several() {
    let mut session = with_keys();
    session.run("keys new another.key --holder \"Somebody\"");
    session.run("keys new chef.key --holder \"Somebody else\" --passphrase-file pass.txt");
    session.run("keys show chef.key hub.key");
    session.run(ROOT);
    session.run("keys sign root-1 --key chef-root.key");
    session.run("keys sign root-1 --key chef-root.key --passphrase-file pass.txt");
    session.run("keys sign root-1 --key deputy-root.key --passphrase-file pass.txt");
    session.run("keys show root-1");
    session.run("keys rotate root-1 root-2 --release-key chef-root.key");
    session.compare("trust-keys");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = std::fs::metadata(session.path("chef.key")).unwrap().permissions().mode();
        assert_eq!(mode & 0o777, 0o600, "others may not read it");
    }
}

#[test]
fn a_group_that_signs_takes_nothing_unsigned() {
    let mut session = with_keys();
    session.start_hub_with(&["--hub-key", "hub.key"]);
    session.run(&format!(
        "{ROOT} --sign chef-root.key --sign deputy-root.key --passphrase-file pass.txt"
    ));
    session.run("keys publish root-1");
    session.run(RELEASE);
    session.run(&format!("{RELEASE} --key chef.key --passphrase-file pass.txt"));
    session.run("kitchen sync --replica harbour.db --site harbour --trust root-1");
    session.run("kitchen status --replica harbour.db");
    session.run("kitchen sync --replica millrace.db --site millrace --trust first");
    let withdraw = "withdraw --recipe honey-loaf --make-none --reason \"the wrong flour\" --yes";
    session.run(withdraw);
    session.run(&format!("{withdraw} --key chef.key --passphrase-file pass.txt"));
    session.run("kitchen sync --replica harbour.db --site harbour");
    // The chef's key is replaced; what is in the feed is signed anew.
    session
        .run_unnoted("keys new next.key --holder \"Group pastry chef\" --passphrase-file pass.txt");
    session.run(
        "keys rotate root-1 root-2 --release-key next.key --sign chef-root.key \
         --sign deputy-root.key --passphrase-file pass.txt",
    );
    session.run("keys publish root-2");
    session.run("kitchen sync --replica station.db --site station --trust root-1");
    session.run("keys sign-feed --key next.key --passphrase-file pass.txt");
    session.run("audit --last 2");
    session.run("kitchen sync --replica station.db --site station --trust root-1");
    session.run("kitchen sync --replica harbour.db --site harbour");
    session.compare("trust-signed");
}

#[test]
fn a_bundle_brings_standards_on_a_stick() {
    let mut session = signed();
    session.run("export harbour.bundle --site harbour");
    session.run("export harbour.bundle --site harbour");
    session.stop_hub();
    session.run("kitchen import harbour.bundle --replica harbour.db --site harbour --trust root-1");
    session.run("kitchen import harbour.bundle --replica harbour.db --site harbour");
    session.run("kitchen import harbour.bundle --replica station.db --site station");
    session.run("kitchen status --replica harbour.db");
    let mut bytes = std::fs::read(session.path("harbour.bundle")).expect("the bundle");
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    std::fs::write(session.path("damaged.bundle"), bytes).expect("a bundle");
    session.run("kitchen import damaged.bundle --replica harbour.db --site harbour");
    session.compare("trust-bundle");
}

#[test]
fn a_decision_on_a_deviation_is_signed_like_a_release() {
    let mut session = signed();
    session.write("less-honey.toml", crate::deviations::LESS_HONEY);
    session.run("deviations ask less-honey.toml --yes");
    session.run("deviations grant harbour-honey --yes");
    session.run("deviations grant harbour-honey --yes --key chef.key --passphrase-file pass.txt");
    session.run("kitchen sync --replica harbour.db --site harbour --trust root-1");
    session.compare("trust-deviation");
}

/// Who hands over a one-time code hands over the root's digest with it.
#[test]
fn a_kitchen_that_joins_pins_the_root() {
    let mut session = with_keys();
    session.start_hub_with(&["--access", "required", "--hub-key", "hub.key"]);
    let url = session.hub_url().to_owned();
    let code = |made: crate::bench::Done| crate::access::code(&made.stdout);
    let made = code(session.run_unnoted("hub invite --store hub.db --role chef --name Imogen"));
    for command in [
        &format!("join {url} {made}"),
        &format!("{ROOT} --sign chef-root.key --sign deputy-root.key --passphrase-file pass.txt"),
        "keys publish root-1",
        &format!("{RELEASE} --key chef.key --passphrase-file pass.txt"),
    ] {
        let done = session.run_unnoted(command);
        assert_eq!(done.code, 0, "{command}: {}", done.stderr);
    }
    let shown = session.run_unnoted("keys show root-1").stdout;
    let digest = shown.lines().find_map(|line| line.strip_prefix("Digest ")).expect("a digest");
    for (site, root) in [("harbour", digest.to_owned()), ("station", "0".repeat(64))] {
        let invite = format!("access invite --role kitchen --site {site} --name {site}");
        let code = code(session.run_unnoted(&invite));
        let file = format!("{site}.json");
        let joined = format!("join {url} {code} --credentials {file} --root {root}");
        let joined = session.run_unnoted(&joined);
        assert_eq!(joined.code, 0, "{}", joined.stderr);
        assert!(joined.stderr.contains(&root[..12]), "{}", joined.stderr);
        let sync = format!("kitchen sync --replica {site}.db --site {site} --credentials {file}");
        let synced = session.run_unnoted(&sync);
        assert_eq!(synced.code == 0, site == "harbour", "{}", synced.stderr);
        let status = format!("kitchen status --replica {site}.db");
        let status = session.run_unnoted(&status);
        assert_eq!(status.stdout.contains(&digest[..12]), site == "harbour", "{}", status.stdout);
    }
}

/// A replica that was shown just now, by a mirror, what a hub vouched for three days ago.
async fn mirrored(replica: &Path) {
    let then = Moment(chablon_sdk::now().0 - 3 * 24 * 60 * 60 * 1000);
    let mirror = TestHub::builder(Keeping::Memory).clock(TestClock::at(then));
    let mirror = mirror.checkpoint_key(key(HUB_KEY)).start().await;
    let client = Client::connect([mirror.url()], Options::default()).expect("an address");
    let root = signed_root(&root(1), &ROOT_KEYS);
    client.add_root(&root).await.expect("the root is taken");
    let terms = Terms::new(then, "First standards", "Group pastry chef");
    let mut draft = client.draft(&sample::book().documents(), &terms).await.expect("a draft");
    draft.sign(&key(RELEASE_KEYS[0]));
    client.release(&draft).await.expect("a release");
    let site = "harbour".parse().expect("a site");
    let replica = Replica::open(replica, site).await.expect("a replica");
    replica.pin(&client, &Pin::Root(root)).await.expect("the root is pinned");
    replica.sync(&client).await.expect("it is taken");
    replica.close().await;
}

#[test]
fn a_mirror_that_shows_the_same_for_ever_grows_old() {
    let session = Session::empty();
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    runtime.block_on(mirrored(&session.path("harbour.db")));
    for command in ["kitchen status", "standards --recipe custard"] {
        let said = session.run_unnoted(&format!("{command} --replica harbour.db")).stdout;
        let said = said.split_whitespace().collect::<Vec<_>>().join(" ");
        for sentence in [
            "no hub has vouched for what harbour holds: what was released or withdrawn since",
            "the newest checkpoint of the hub has expired",
        ] {
            assert!(said.contains(sentence), "{command}: {said}");
        }
        assert!(!said.contains("heard of no hub"), "{command}: {said}");
    }
    let french = "scale --recipe custard --mass \"3 kg\" --language fr --replica harbour.db";
    let said = session.run_unnoted(french).stdout;
    assert!(said.contains("aucun hub n'a confirmé ce que harbour détient"), "{said}");
}

#[test]
fn whom_a_kitchen_trusts_is_settled_with_the_hub_away() {
    let mut session = signed();
    let done = session.run_unnoted("kitchen sync --replica a.db --site harbour --trust root-1");
    assert_eq!(done.code, 0, "{}", done.stderr);
    session.stop_hub();
    let sync = |file: &str, root: &str| {
        let hub = "--hub http://127.0.0.1:1";
        format!("kitchen sync --replica {file} --site harbour --trust {root} {hub}")
    };
    let other = session.run_unnoted(&sync("a.db", &"5e".repeat(32)));
    assert_eq!(other.code, 1, "{}", other.stderr);
    assert!(other.stderr.contains("What is taken is held to that one."), "{}", other.stderr);
    let fresh = session.run_unnoted(&sync("b.db", "root-1"));
    assert!(fresh.stderr.contains("can't be reached"), "{}", fresh.stderr);
    for file in ["a.db", "b.db"] {
        let status = session.run_unnoted(&format!("kitchen status --replica {file}"));
        assert!(status.stdout.contains("Trusts version 1 of root"), "{}", status.stdout);
    }
}

#[test]
fn a_kitchen_that_follows_may_start_before_the_hub_whose_root_it_pins() {
    let mut session = signed();
    let root = session.run_unnoted("keys show root-1").stdout;
    let digest = root.split_whitespace().find(|word| word.trim_end_matches('.').len() == 64);
    let digest = digest.unwrap_or_else(|| panic!("no digest in {root}")).trim_end_matches('.');
    let address = session.hub_url().trim_start_matches("http://").to_owned();
    session.stop_hub();
    let folder = session.path("");
    let mut follow = program(&folder);
    follow.args(["kitchen", "follow", "--replica", "a.db", "--site", "harbour"]);
    follow.args(["--hub", &address, "--trust", digest]);
    let streams = follow.stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut following = Running(streams.spawn().expect("the program runs"));
    let mut notes = BufReader::new(following.0.stderr.take().expect("a pipe")).lines();
    let away = notes.next().expect("a note").expect("text");
    assert!(away.contains("so no root is pinned yet and nothing is taken"), "{away}");
    let mut hub = program(&folder);
    hub.args(["hub", "serve", "--store", "hub.db", "--listen", &address, "--hub-key", "hub.key"]);
    let hub = hub.stdout(Stdio::null()).stderr(Stdio::null()).spawn();
    let _hub = Running(hub.expect("a hub"));
    let mut lines = BufReader::new(following.0.stdout.take().expect("a pipe")).lines();
    let news = lines.next().expect("news").expect("text");
    assert!(news.ends_with("harbour is up to date (feed position 4)."), "{news}");
    drop(following);
    let status = session.run_unnoted("kitchen status --replica a.db");
    assert!(status.stdout.contains("Trusts version 1 of root"), "{}", status.stdout);
}
