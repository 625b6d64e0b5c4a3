//! A book on disk.

use std::fs;
use std::path::Path;

use chablon_book::{Files, read, read_folder};

fn put(folder: &Path, path: &str, bytes: &[u8]) {
    let path = folder.join(path);
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, bytes).unwrap();
}

fn paths(files: &Files) -> Vec<&str> {
    files.ids().map(|file| files.path(file)).collect()
}

#[test]
fn folder_gives_the_same_book_as_its_texts() {
    let folder = tempfile::tempdir().unwrap();
    for (path, text) in chablon_saltmarsh::files() {
        put(folder.path(), &path, text.as_bytes());
    }
    let files = read_folder(folder.path()).unwrap();
    assert_eq!(files, Files::new(chablon_saltmarsh::files()));
}

#[test]
fn folder_passes_over_what_is_hidden_or_of_no_concern() {
    let folder = tempfile::tempdir().unwrap();
    put(folder.path(), "book.toml", b"");
    put(folder.path(), "LICENSE", b"");
    put(folder.path(), "photos/glaze.jpeg", b"");
    put(folder.path(), ".git/config.toml", b"");
    put(folder.path(), "recipes/.glaze.toml", b"");
    assert_eq!(paths(&read_folder(folder.path()).unwrap()), ["book.toml"]);
}

#[test]
fn folder_gives_misplaced_files_so_that_they_are_found() {
    let folder = tempfile::tempdir().unwrap();
    put(folder.path(), "recipes/glaze.tml", b"\xff\xfe");
    put(folder.path(), "recipes/old/glaze.toml", b"");
    put(folder.path(), "recipies/glaze.toml", b"");
    let files = read_folder(folder.path()).unwrap();
    assert_eq!(
        paths(&files),
        ["recipes/glaze.tml", "recipes/old/glaze.toml", "recipies/glaze.toml"]
    );
    let stray = read(&files).findings.iter().filter(|one| one.code == "stray-file").count();
    assert_eq!(stray, 3);
}

#[test]
fn folder_with_other_bytes_is_a_finding_and_no_failure() {
    let folder = tempfile::tempdir().unwrap();
    put(folder.path(), "book.toml", b"name = 'Cr\xe8me'\ncurrency = 'EUR'\nlanguages = ['en']\n");
    let files = read_folder(folder.path()).unwrap();
    let outcome = read(&files);
    let codes: Vec<_> = outcome.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["not-utf8"]);
}

#[test]
fn folder_that_is_not_there_is_named() {
    let error = read_folder(Path::new("no-such-book")).unwrap_err();
    assert_eq!(error.to_string(), "`no-such-book` can't be read");
}
