//! The command line `chablon`.
fn main() {}
