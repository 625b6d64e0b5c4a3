//! States, content, label figures and lists against an independent reckoning.
//!
//! `tests/oracle` recomputes them from the authored book in Python's rationals and shares no code
//! with this project. `CHABLON_ORACLE_BOOKS` and `CHABLON_ORACLE_SEED` ask for more books or others.

mod json;

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use chablon_arith::Library;
use chablon_book::{Files, read};
use chablon_declare::Declarer;
use serde_json::Value;

/// As many books as a run of all tests compares.
const BOOKS: u32 = 400;

#[test]
fn states_and_content_equal_the_oracles() {
    let books = setting("CHABLON_ORACLE_BOOKS", BOOKS);
    let mut tally = Tally::default();
    for line in lines(setting("CHABLON_ORACLE_SEED", 1), books) {
        tally.line(&serde_json::from_str(&line).expect("a line of JSON"));
    }
    let Tally { figures, states, refusals, differences } = tally;
    let shown: Vec<_> = differences.iter().take(20).map(String::as_str).collect();
    assert!(differences.is_empty(), "{} differences:\n{}", differences.len(), shown.join("\n"));
    assert!(figures > 20 * u64::from(books), "only {figures} figures were compared");
    assert!(states > 20 * u64::from(books), "only {states} states were compared");
    assert!(refusals > u64::from(books) / 10, "only {refusals} refusals were compared");
    println!("{books} books: {states} states, {figures} figures and {refusals} refusals equal");
}

fn setting(name: &str, default: u32) -> u32 {
    std::env::var(name).map_or(default, |text| text.parse().expect("a whole number"))
}

/// The generated books with their declarations, a line of JSON each.
fn lines(seed: u32, count: u32) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let out = folder.path().join("books.jsonl");
    let python = std::env::var("CHABLON_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let status = Command::new(&python)
        .args(["-m", "oracle.generate", "--seed", &seed.to_string(), "--count", &count.to_string()])
        .arg("--out")
        .arg(&out)
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests"))
        .status()
        .unwrap_or_else(|error| {
            panic!("`{python}` can't be started ({error}): run `cargo xtask test`")
        });
    assert!(status.success(), "the generator failed: {status}");
    let text = std::fs::read_to_string(out).expect("the generator writes its file");
    text.lines().map(str::to_owned).collect()
}

/// What has been compared, and where the two differ.
#[derive(Default)]
struct Tally {
    figures: u64,
    states: u64,
    refusals: u64,
    differences: Vec<String>,
}

impl Tally {
    fn line(&mut self, line: &Value) {
        let declarations = line["declarations"].as_array().expect("declarations");
        if declarations.is_empty() {
            return;
        }
        let files = line["files"].as_object().expect("files").iter();
        let files =
            files.map(|(path, text)| (path.clone(), text.as_str().expect("a text").to_owned()));
        let outcome = read(&Files::new(files));
        let Some(book) = outcome.book else {
            let findings: Vec<_> =
                outcome.findings.iter().map(|one| one.message.as_str()).collect();
            self.differences.push(format!(
                "seed {}: refused: {}",
                line["seed"],
                findings.join("; ")
            ));
            return;
        };
        let library = Library::new(&book.ingredients, &book.recipes);
        let declarer = Declarer::new(&library);
        for case in declarations {
            let recipe = case["recipe"].as_str().expect("a recipe");
            let found = json::declaration(&declarer, &book.settings, recipe);
            let path = format!("seed {} {recipe}", line["seed"]);
            self.hold(&path, &case["expect"], &found);
        }
    }

    fn hold(&mut self, path: &str, expected: &Value, found: &Value) {
        match (expected, found) {
            (Value::Object(expected), Value::Object(found)) => {
                self.figures += u64::from(expected.contains_key("exact"));
                self.states += u64::from(expected.contains_key("state"));
                self.refusals += u64::from(expected.contains_key("error"));
                let keys: BTreeSet<&String> = expected.keys().chain(found.keys()).collect();
                for key in keys {
                    let of = |side: &serde_json::Map<String, Value>| {
                        side.get(key).cloned().unwrap_or_default()
                    };
                    self.hold(&format!("{path}.{key}"), &of(expected), &of(found));
                }
            }
            (Value::Array(expected), Value::Array(found)) if expected.len() == found.len() => {
                for (at, (expected, found)) in expected.iter().zip(found).enumerate() {
                    self.hold(&format!("{path}[{at}]"), expected, found);
                }
            }
            _ if expected == found => {}
            _ => self.differences.push(format!("{path}: {expected} is expected, found {found}")),
        }
    }
}
