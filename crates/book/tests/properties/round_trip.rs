//! A book that is written reads as the same book.

use chablon_book::{AuthoredBook, Files, RenderOptions, Severity, read, render, write};
use proptest::prelude::*;

use crate::documents::book;

/// Reads what is written, which is without errors.
fn read_back(written: &[(String, String)]) -> AuthoredBook {
    let files = Files::new(written.iter().cloned());
    let outcome = read(&files);
    let errors: Vec<_> = (outcome.findings.iter())
        .filter(|finding| finding.severity == Severity::Error)
        .cloned()
        .collect();
    let shown = render(&errors, &files, RenderOptions::default());
    outcome.book.unwrap_or_else(|| panic!("{shown}"))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn written_book_reads_as_the_same_book(book in book()) {
        prop_assert_eq!(read_back(&write(&book)), book);
    }

    #[test]
    fn writing_again_gives_the_same_text(book in book()) {
        let written = write(&book);
        prop_assert_eq!(write(&read_back(&written)), written);
    }
}

#[test]
fn saltmarsh_written_reads_as_the_same_book() {
    let book = read(&Files::new(chablon_saltmarsh::files())).book.expect("the book is sound");
    assert_eq!(read_back(&write(&book)), book);
}
