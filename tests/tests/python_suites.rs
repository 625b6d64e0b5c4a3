//! The oracle's own tests, and the vectors held to the oracle.

#[path = "support/python.rs"]
mod python;

use chablon_tests::succeed;

#[test]
fn the_oracle_passes_its_own_tests() {
    let output = succeed(&mut python::module("unittest"));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(said.contains("\nOK"), "{said}");
    assert!(!said.contains("Ran 0 tests"), "{said}");
}

#[test]
fn the_vectors_are_what_the_oracle_computes() {
    succeed(python::module("oracle.vectors").arg("--check"));
}
