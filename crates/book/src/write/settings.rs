//! `book.toml`.

use chablon_model::{Book, LabelRegime};

use super::page::Page;

pub(super) fn settings(book: &Book) -> String {
    let mut page = Page::default();
    page.text("name", &book.name);
    page.text("currency", book.currency);
    page.list("languages", &book.languages);
    page.list("labels", book.labels.iter().copied().map(LabelRegime::as_str));
    page.finish()
}
