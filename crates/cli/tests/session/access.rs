//! Joining a hub, letting others in and shutting them out.

use std::fs;

use crate::bench::Session;

/// The code that a command handed over.
pub(crate) fn code(stdout: &str) -> String {
    let line = stdout.lines().find(|line| line.starts_with("    ")).expect("a code");
    line.trim().to_owned()
}

/// A session of a hub that asks for tokens and whose first chef has joined.
fn with_chef(arguments: &[&str]) -> Session {
    let mut session = Session::with_book();
    session.start_hub_with(&[&["--access", "required"], arguments].concat());
    let made = session.run("hub invite --store hub.db --role chef --name \"Imogen Vale\"");
    let (url, code) = (session.hub_url().to_owned(), code(&made.stdout));
    assert_eq!(session.run(&format!("join {url} {code}")).code, 0);
    session
}

#[test]
fn a_chef_lets_a_kitchen_in() {
    let mut session = with_chef(&[]);
    let url = session.hub_url().to_owned();
    session.run("access show");
    session.run("release --book book --note Opening --author Imogen --yes");
    let made = session.run("access invite --role kitchen --site harbour --name Harbour");
    let code = code(&made.stdout);
    session.run(&format!("join {url} {code} --credentials kitchen.json"));
    session.run(&format!("join {url} {code} --credentials other.json"));
    session.run("access show --credentials kitchen.json");
    session.run("kitchen sync --replica h.db --site harbour --credentials kitchen.json");
    session.run("kitchen sync --replica s.db --site station --credentials kitchen.json");
    session.run("kitchen sync --replica n.db --site harbour --credentials none.json");
    session.run("release --book book --note x --author x --yes --credentials kitchen.json");
    session.run("access list");
    session.run("access revoke --name Harbour");
    session.run("kitchen sync --replica h.db --site harbour --credentials kitchen.json");
    session.run("access invite --role kitchen --site harbour --name Harbour");
    session.compare("access-kitchen");
}

#[cfg(unix)]
#[test]
fn tokens_are_their_owners_alone() {
    use std::os::unix::fs::PermissionsExt as _;
    let mut session = with_chef(&[]);
    let file = session.path(".config/chablon/credentials.json");
    let mode = |file| fs::metadata(file).expect("the file").permissions().mode() & 0o777;
    assert_eq!(mode(&file), 0o600);
    assert!(fs::read_to_string(&file).expect("the file").contains("Imogen Vale"));
    fs::set_permissions(&file, fs::Permissions::from_mode(0o644)).expect("another mode");
    let done = session.run("access show");
    assert_eq!(done.code, 1);
    assert!(done.stderr.contains("may be read by others"), "{}", done.stderr);
    assert!(done.stderr.contains("chmod 600"), "{}", done.stderr);
}

#[test]
fn a_hub_is_encrypted_by_a_certificate_of_ones_own() {
    let mut session = Session::with_book();
    session.run("hub certificate --to tls");
    session.run("hub certificate --to tls");
    let tls = ["--tls-cert", "tls/hub.pem", "--tls-key", "tls/hub.key"];
    session.start_hub_with(&tls);
    session.run("standards --tls-roots tls/root.pem");
    // What a machine trusts by itself differs; none trusts a root that was made just now.
    assert_eq!(session.run_unnoted("standards").code, 1);
    session.stop_hub();
    session.compare("access-encrypted");
}

#[test]
fn an_open_hub_stays_on_its_machine_unless_told() {
    let mut session = Session::empty();
    session.run("hub serve --store hub.db --listen 0.0.0.0:0");
    session.run("hub serve --store hub.db --tls-cert hub.pem");
    session.run("hub serve --store hub.db --tls-cert none.pem --tls-key none.key");
    session.run("hub invite --store none.db --role chef --name Imogen");
    session.run("hub invite --store none.db --role kitchen --name Harbour");
    session.run("hub invite --store none.db --role chef --site harbour --name Harbour");
    session.run("hub invite --store none.db --role cook --name Harbour");
    session.run("join http://127.0.0.1:1 7KQD-3MXP");
    session.compare("access-refusals");
}
