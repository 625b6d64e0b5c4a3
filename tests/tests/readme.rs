//! The README's session, run as it stands there.

use std::path::Path;

#[test]
fn the_readmes_session_prints_what_it_shows() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).parent().expect("tests stand in the root");
    // The session names the book as a reader types it, from the root of the tree.
    std::env::set_current_dir(root).expect("the root is a folder");
    trycmd::TestCases::new()
        .register_bin("chablon", chablon_tests::program())
        .env("NO_COLOR", "1")
        .env("COLUMNS", "100")
        .case("README.md")
        .run();
}
