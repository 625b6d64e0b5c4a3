//! The book of Saltmarsh Kitchens, an invented group: demonstration data.
//!
//! The book is compiled in, so that a demonstration and a test need no folder beside them. All
//! names, prices and figures in it are invented or rounded for the purpose.
//!
//! ```
//! let files = chablon_saltmarsh::files();
//! assert!(files.iter().any(|(path, _)| path == "recipes/honey-bavarois.toml"));
//! ```

use include_dir::{Dir, include_dir};

static BOOK: Dir<'static> = include_dir!("$CARGO_MANIFEST_DIR/book");

/// Every file of the book: its path below the book's folder, with `/` between the parts, and its
/// text. Sorted by path.
pub fn files() -> Vec<(String, String)> {
    let mut files = Vec::new();
    collect(&BOOK, &mut files);
    files.sort();
    files
}

fn collect(folder: &Dir<'_>, files: &mut Vec<(String, String)>) {
    for file in folder.files() {
        let path = file.path().to_string_lossy().replace('\\', "/");
        let text = file.contents_utf8().expect("the files of the book are UTF-8");
        files.push((path, text.to_owned()));
    }
    for inner in folder.dirs() {
        collect(inner, files);
    }
}
