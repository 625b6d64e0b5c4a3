//! Several hubs on one PostgreSQL database, as processes: a kitchen may change between them at any
//! moment and goes on where it was.

use std::io::{BufRead as _, BufReader};
use std::path::{Path, PathBuf};
use std::process::{Child, Output, Stdio};

use chablon_testkit::postgres::TestDatabase;
use chablon_tests::{Book, Hub, chablon, succeed};
use tempfile::TempDir;

/// A database whose tables are made.
async fn database() -> TestDatabase {
    let database = TestDatabase::create().await;
    let made = succeed(&mut chablon(&["hub", "migrate", "--store", database.url()]));
    let said = text(&made.stdout);
    assert!(said.contains("is up to date"), "{said}");
    // Where the server wants a password, the URL holds it.
    if let Some((_, secret)) = database.url().split_once("chablon:") {
        let secret = secret.split('@').next().expect("a password before the host");
        assert!(!said.contains(secret), "a password was shown");
    }
    database
}

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// A chef with a book, and a kitchen.
struct Group {
    folder: TempDir,
    book: Book,
    first: String,
}

impl Group {
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a temporary folder");
        let book = Book::write(&folder.path().join("book"), chablon_saltmarsh::files());
        let first = book.bavarois();
        Self { folder, book, first }
    }

    /// Releases another amount of honey through a hub.
    fn release(&self, round: u32, hub: &Hub) {
        self.book.more_honey(&self.first, round);
        let (note, url) = (format!("Round {round}"), hub.url());
        let arguments = ["release", "--book", self.book.folder(), "--hub", &url, "--note", &note];
        succeed(chablon(&arguments).arg("--yes"));
    }

    fn replica(&self) -> PathBuf {
        self.folder.path().join("kitchen.sqlite")
    }

    fn sync(&self, hub: &Hub) -> Output {
        succeed(&mut kitchen("sync", &self.replica(), &hub.url()))
    }
}

fn kitchen(what: &str, replica: &Path, hubs: &str) -> std::process::Command {
    let mut command = chablon(&["kitchen", what, "--site", "harbour", "--hub", hubs]);
    command.arg("--replica").arg(replica);
    command
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_hub_says_that_its_database_needs_tables() {
    let database = TestDatabase::create().await;
    let serve = ["hub", "serve", "--listen", "127.0.0.1:0", "--store", database.url()];
    let refused = chablon(&serve).output().expect("the program starts");
    let said = text(&refused.stderr);
    assert_eq!(refused.status.code(), Some(1), "{said}");
    assert!(said.contains("chablon hub migrate --store"), "{said}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_kitchen_goes_on_at_its_position_with_whichever_hub() {
    let database = database().await;
    let hubs = [0; 3].map(|_| Hub::start(database.url()));
    let group = Group::new();
    for round in 0..4 {
        let [writer, reader] = [0, 1].map(|step| &hubs[(round as usize + step) % hubs.len()]);
        group.release(round, writer);
        let synced = group.sync(reader);
        let (told, noted) = (text(&synced.stdout), text(&synced.stderr));
        assert!(!noted.contains("anew"), "the view was listed anew: {noted}");
        let news = if round == 0 { "In force:" } else { "recipe honey-bavarois: revision" };
        assert!(told.contains(news), "round {round}: {told}");
    }
    let adopted = ["standards", "--recipe", "honey-bavarois", "--hub", &hubs[2].url()];
    let adopted = text(&succeed(&mut chablon(&adopted)).stdout);
    assert!(adopted.contains("harbour"), "what one hub was told every hub knows: {adopted}");
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_kitchen_that_follows_goes_on_with_another_hub_when_its_own_dies() {
    let database = database().await;
    let [first, second] = [0; 2].map(|_| Hub::start(database.url()));
    let group = Group::new();
    group.release(0, &second);
    let hubs = format!("{},{}", first.url(), second.url());
    let mut following = Following::start(&mut kitchen("follow", &group.replica(), &hubs));
    let before = following.next_position();
    first.kill();
    group.release(1, &second);
    assert!(following.next_position() > before, "it goes on from {before}");
}

/// A kitchen that follows, until it is dropped.
struct Following {
    process: Child,
    lines: std::io::Lines<BufReader<std::process::ChildStdout>>,
}

impl Following {
    fn start(command: &mut std::process::Command) -> Self {
        let streams = command.stdout(Stdio::piped()).stderr(Stdio::null());
        let mut process = streams.spawn().expect("the kitchen starts");
        let stdout = process.stdout.take().expect("standard output is piped");
        Self { process, lines: BufReader::new(stdout).lines() }
    }

    /// The next position that it tells of.
    fn next_position(&mut self) -> u64 {
        let mut lines = self.lines.by_ref().map_while(Result::ok);
        let told = lines.find_map(|line| {
            let (_, rest) = line.split_once("(feed position ")?;
            rest.split_once(')')?.0.parse().ok()
        });
        told.expect("it tells of a position before it ends")
    }
}

impl Drop for Following {
    fn drop(&mut self) {
        // Already gone is as good.
        let _ = self.process.kill();
        let _ = self.process.wait();
    }
}
