//! `book.toml`: the group's settings.

use chablon_model::{Book, DocumentContent, DocumentId, DocumentKind, LabelRegime};

use super::control::control;
use super::fields::Fields;
use super::list::distinct;
use super::value::Value;
use crate::Finding;

/// The settings; the document is called as the hub calls it.
pub(super) fn settings(fields: &mut Fields<'_>) -> Option<Book> {
    fields.notes().begin();
    let id: DocumentId = DocumentContent::BOOK_ID.parse().expect("a constant id");
    fields.notes().identify(DocumentKind::Book, id, fields.span());
    let name = fields.required("name", Value::text);
    let currency = fields.required("currency", |value| value.parsed("bad-currency"));
    let languages =
        fields.required("languages", |value| distinct(value, |entry| entry.parsed("bad-language")));
    let labels = fields.optional("labels", |value| {
        distinct(value, |entry| entry.one_of(&LabelRegime::ALL, LabelRegime::as_str))
    });
    let plan = fields.optional("control", control);
    if languages.as_ref().is_some_and(Vec::is_empty) {
        fields.note(
            Finding::error("no-language", "the book needs a language at least")
                .at(fields.span_of("languages"), "none")
                .hint("add `languages = [\"en\"]`; the first is the fallback"),
        );
        return None;
    }
    Some(Book {
        name: name?,
        currency: currency?,
        languages: languages?,
        labels: labels.unwrap_or_default(),
        control: plan.unwrap_or_default(),
    })
}
