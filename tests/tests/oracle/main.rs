//! Every figure against an independent reckoning.
//!
//! `tests/oracle` recomputes scaling and costing from the authored book in Python's rationals and
//! shares no code with this project's arithmetic. Here its seeded random books go through the
//! reader of books and the same path that the command line takes; every exact and every rounded
//! figure must be equal. `CHABLON_ORACLE_BOOKS` and `CHABLON_ORACLE_SEED` ask for more or others.

mod case;
mod compare;
mod generate;

use case::Line;

/// As many books as the project promises to have compared.
const BOOKS: u32 = 2000;

#[test]
fn every_figure_equals_the_oracles() {
    let books = generate::setting("CHABLON_ORACLE_BOOKS", BOOKS);
    let seed = generate::setting("CHABLON_ORACLE_SEED", 1);
    let mut figures = 0;
    let mut refusals = 0;
    let mut differences = Vec::new();
    for line in generate::lines(seed, books) {
        let line = Line::parse(&line);
        let outcome = line.compare();
        figures += outcome.figures;
        refusals += outcome.refusals;
        differences.extend(outcome.differences);
    }
    let shown: Vec<_> = differences.iter().take(20).map(String::as_str).collect();
    assert!(differences.is_empty(), "{} differences:\n{}", differences.len(), shown.join("\n"));
    assert!(figures > 50 * u64::from(books), "only {figures} figures were compared");
    assert!(refusals > u64::from(books) / 4, "only {refusals} refusals were compared");
    println!("{books} books: {figures} figures and {refusals} refusals equal");
}
