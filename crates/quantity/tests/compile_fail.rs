//! What must not compile.

#[test]
fn dimensions_do_not_mix() {
    trybuild::TestCases::new().compile_fail("tests/ui/*.rs");
}
