//! Every figure against an independent reckoning.
//!
//! `tests/oracle` recomputes scaling and costing from the authored book in Python's rationals and
//! shares no code with this project's arithmetic. Here its seeded random books go through the
//! reader of books and the same path that the command line takes; every exact and every rounded
//! figure must be equal, and so must the figures that floats decide. `CHABLON_ORACLE_BOOKS` and
//! `CHABLON_ORACLE_SEED` ask for more or others.

mod case;
#[path = "../support/compare.rs"]
mod compare;
mod generate;
mod line;
#[path = "../support/products.rs"]
mod products;
#[path = "../support/python.rs"]
mod python;
mod quick;
#[path = "../support/refusals.rs"]
mod refusals;

use std::thread;

use generate::Books;
use line::{Line, Outcome};

/// As many books as the project promises to have compared.
const BOOKS: u32 = 2000;

#[test]
fn every_figure_equals_the_oracles() {
    let books = generate::setting("CHABLON_ORACLE_BOOKS", BOOKS);
    let seed = generate::setting("CHABLON_ORACLE_SEED", 1);
    let outcome = compare(seed, books);
    let differences = &outcome.differences;
    let shown: Vec<_> = differences.iter().take(20).map(String::as_str).collect();
    assert!(differences.is_empty(), "{} differences:\n{}", differences.len(), shown.join("\n"));
    let Outcome { figures, quick, refusals, plans, shocks, .. } = outcome;
    println!(
        "{books} books: {figures} figures, {quick} figures by floats, {plans} plans of several \
         products, {shocks} moves of prices and {refusals} refusals equal"
    );
    let books = u64::from(books);
    assert!(figures > 100 * books, "only {figures} figures were compared");
    assert!(quick > 10 * books, "only {quick} figures by floats were compared");
    assert!(plans > books / 2, "only {plans} plans of several products were compared");
    assert!(shocks > books / 2, "only {shocks} moves of prices were compared");
    assert!(refusals > books / 4, "only {refusals} refusals were compared");
}

/// Compares a run of books, a part on each processor.
fn compare(seed: u32, books: u32) -> Outcome {
    let parts = thread::available_parallelism().map_or(1, |parts| parts.get().min(16));
    let parts = u32::try_from(parts).expect("a few parts");
    let start = |part: u32| books / parts * part + part.min(books % parts);
    thread::scope(|scope| {
        let part = |part| scope.spawn(move || of_part(seed, start(part), start(part + 1)));
        let running: Vec<_> = (0..parts).map(part).collect();
        let outcomes = running.into_iter().map(|part| part.join().expect("a part is compared"));
        outcomes.fold(Outcome::default(), Outcome::and)
    })
}

fn of_part(seed: u32, first: u32, end: u32) -> Outcome {
    let mut books = Books::start(seed, first, end - first);
    let compared = books.by_ref().map(|text| Line::parse(&text).compare());
    let outcome = compared.fold(Outcome::default(), Outcome::and);
    books.finish();
    outcome
}
