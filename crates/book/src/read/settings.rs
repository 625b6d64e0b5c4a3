//! `book.toml`: the group's settings.

use chablon_model::{
    Book, DocumentContent, DocumentId, DocumentKind, LabelRegime, ReviewRule, Reviewer,
};

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
    let review = fields
        .optional("review", |value| value.table("the review rule", |fields| Some(review(fields))));
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
        review,
    })
}

/// The `[review]` table. What it doesn't say is as where there is no table, but that releases go
/// through drafts.
fn review(fields: &mut Fields<'_>) -> ReviewRule {
    let usual = ReviewRule::default();
    let people = |value: Option<u32>, usual| value.unwrap_or(usual);
    ReviewRule {
        safety: people(fields.optional("safety", people_of), usual.safety),
        recipe: people(fields.optional("recipe", people_of), usual.recipe),
        cost: people(fields.optional("cost", people_of), usual.cost),
        text: people(fields.optional("text", people_of), usual.text),
        by: fields.optional("by", reviewers).unwrap_or(usual.by),
        direct: fields.flag("direct"),
    }
}

fn people_of(value: &Value<'_>) -> Option<u32> {
    let number = value.integer()?;
    let people = u32::try_from(number).ok().filter(|people| *people <= ReviewRule::MOST);
    people.or_else(|| {
        let most = ReviewRule::MOST;
        let message = format!("{number} people can't be asked for");
        value.refuse(
            Finding::error("bad-review", message)
                .at(value.span, "here")
                .hint(format!("write 0 to {most}: how many others must approve such a change")),
        )
    })
}

fn reviewers(value: &Value<'_>) -> Option<Vec<Reviewer>> {
    let by = distinct(value, |entry| entry.one_of(&Reviewer::ALL, Reviewer::as_str))?;
    if by.is_empty() {
        return value.refuse(
            Finding::error("bad-review", "nobody's approval counts")
                .at(value.span, "none")
                .hint("name `chef`, `deputy` or both"),
        );
    }
    Some(by)
}
