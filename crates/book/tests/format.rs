//! The blocks of the description of the format are one book.

use chablon_book::{Files, read};

#[test]
fn the_described_book_is_read_without_a_finding() {
    let text = include_str!("../docs/format.md");
    let blocks = text.split("```toml\n# ").skip(1).map(|block| {
        let block = block.split("```").next().expect("a block ends");
        let (path, text) = block.split_once('\n').expect("a path, then the file");
        (path.to_owned(), text.to_owned())
    });
    let files = Files::new(blocks);
    assert_eq!(files.ids().count(), 6);
    let outcome = read(&files);
    let findings: Vec<&str> = outcome.findings.iter().map(|one| one.message.as_str()).collect();
    assert_eq!(findings, Vec::<&str>::new());
    let book = outcome.book.expect("a book");
    assert_eq!((book.recipes.len(), book.settings.control.limits.len()), (2, 2));
}
