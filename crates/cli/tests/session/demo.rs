//! `chablon demo`.

use crate::bench::Session;

#[test]
fn the_demonstration_is_told_in_some_hundred_lines() {
    let mut session = Session::empty();
    let done = session.run("demo");
    assert_eq!(done.code, 0, "{}", done.stderr);
    assert!(done.stdout.lines().count() < 155, "{} lines", done.stdout.lines().count());
    session.compare("demo");
}

#[test]
fn the_demonstration_keeps_its_files_when_asked() {
    let session = Session::empty();
    assert_eq!(session.run_unnoted("demo --keep kept").code, 0);
    let done = session.run_unnoted("check --book kept/book");
    assert_eq!(done.code, 0, "{}", done.stderr);
    let again = session.run_unnoted("demo --keep kept");
    assert_eq!(again.code, 1);
    assert!(again.stderr.contains("not empty"), "{}", again.stderr);
}
