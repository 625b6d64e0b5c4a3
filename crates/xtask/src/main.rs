//! Tasks of the project's own: generate, check, test.
fn main() {}
