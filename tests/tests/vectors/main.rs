//! Every conformance vector through our own code.
//!
//! The vectors under `tests/vectors` are written by the oracle from the rules alone. Their README
//! says how they are read and compared; this does what it says.

mod bench;
#[path = "../support/compare.rs"]
mod compare;
mod given;
mod kitchen;
mod numbers;
mod operations;
#[path = "../support/products.rs"]
mod products;
#[path = "../support/refusals.rs"]
mod refusals;
mod shapes;
mod shelf;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use serde_json::Value;

use compare::Comparison;
use operations::Operation;
use shelf::Shelf;

/// The largest file that is still read by people.
const FILE_LIMIT: u64 = 200_000;
/// The most that all files are together.
const TOTAL_LIMIT: u64 = 1_000_000;

/// The vector files, by name.
fn files() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("vectors");
    let entries = fs::read_dir(folder).expect("the vectors are there");
    let paths = entries.map(|entry| entry.expect("an entry").path());
    let mut files: Vec<PathBuf> =
        paths.filter(|path| path.extension().is_some_and(|one| one == "json")).collect();
    files.sort();
    files
}

fn read(path: &Path) -> Value {
    let text = fs::read_to_string(path).expect("a file of vectors");
    serde_json::from_str(&text).expect("JSON")
}

fn cases(file: &Value) -> &[Value] {
    file["cases"].as_array().expect("cases")
}

#[test]
fn every_vector_gives_its_result() {
    let mut comparison = Comparison::default();
    let mut run = 0;
    for path in files() {
        let file = read(&path);
        let shelf = Shelf::of(&file["books"]);
        for case in cases(&file) {
            run += 1;
            let stem = path.file_stem().expect("a name").to_string_lossy();
            hold(&mut comparison, &shelf, &format!("{stem}: {}", case["name"]), case);
        }
    }
    let differences = comparison.differences;
    assert!(differences.is_empty(), "{} differ:\n{}", differences.len(), differences.join("\n"));
    println!("{run} vectors: {} figures equal", comparison.figures);
}

fn hold(comparison: &mut Comparison, shelf: &Shelf, place: &str, case: &Value) {
    let name = case["operation"].as_str().expect("an operation");
    let Some(operation) = Operation::named(name) else {
        return differ(comparison, place, &format!("no code handles `{name}`"));
    };
    let found = operation.run(shelf, &case["input"]);
    let expected = &case["expect"];
    match (expected["refused"].as_str(), found) {
        (None, Ok(found)) => comparison.hold(place, expected, &found),
        (Some(kind), Err(refusal)) if refusal.is(kind) => {}
        (Some(kind), Ok(_)) => differ(comparison, place, &format!("{kind} is expected")),
        (wanted, Err(refusal)) => {
            let wanted = wanted.unwrap_or("a result");
            differ(comparison, place, &format!("{wanted} is expected, found {refusal}"));
        }
    }
}

fn differ(comparison: &mut Comparison, place: &str, how: &str) {
    comparison.differences.push(format!("{place}: {how}"));
}

#[test]
fn every_operation_has_a_vector() {
    let files: Vec<Value> = files().iter().map(|path| read(path)).collect();
    let used = files.iter().flat_map(cases);
    let used: BTreeSet<&str> = used.filter_map(|case| case["operation"].as_str()).collect();
    let known: BTreeSet<&str> = Operation::names().collect();
    assert_eq!(used, known);
}

#[test]
fn the_files_are_small_and_of_these_rules() {
    let mut total = 0;
    for path in files() {
        let size = path.metadata().expect("a size").len();
        assert!(size < FILE_LIMIT, "{} has {size} bytes", path.display());
        total += size;
        assert_eq!(read(&path)["rules"], chablon_arith::RULES_VERSION, "{}", path.display());
    }
    assert!(total < TOTAL_LIMIT, "{total} bytes of vectors");
}

#[test]
fn a_wrong_digit_is_found() {
    let path = files().into_iter().find(|path| path.ends_with("numbers.json"));
    let mut file = read(&path.expect("vectors of numbers"));
    let case = &mut file["cases"][0];
    case["expect"]["rounded"] = "250.000001".into();
    let mut comparison = Comparison::default();
    hold(&mut comparison, &Shelf::of(&Value::Null), "numbers", case);
    assert_eq!(comparison.differences.len(), 1, "{:?}", comparison.differences);
}
