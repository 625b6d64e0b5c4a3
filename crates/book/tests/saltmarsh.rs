//! The demonstration book reads without a finding.

use chablon_book::{Files, RenderOptions, read, render};

#[test]
fn saltmarsh_reads_without_a_finding() {
    let files = Files::new(chablon_saltmarsh::files());
    let outcome = read(&files);
    assert_eq!(render(&outcome.findings, &files, RenderOptions::default()), "");
    assert!(outcome.book.is_some());
}
