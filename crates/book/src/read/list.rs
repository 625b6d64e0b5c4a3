//! Lists in which nothing stands twice.

use super::value::Value;
use crate::{Finding, Span};

/// A list in which nothing stands twice.
pub(super) fn distinct<'a, T: PartialEq>(
    value: &Value<'a>,
    read: impl Fn(&Value<'a>) -> Option<T>,
) -> Option<Vec<T>> {
    let entries = value.list(|entry| Some((read(entry)?, entry.span)))?;
    for (index, (entry, span)) in entries.iter().enumerate() {
        if let Some((_, first)) = entries[..index].iter().find(|(earlier, _)| earlier == entry) {
            value.page.notes.note(twice(value.key, *span, *first));
        }
    }
    Some(entries.into_iter().map(|(entry, _)| entry).collect())
}

fn twice(key: &str, again: Span, first: Span) -> Finding {
    Finding::error("duplicate-entry", format!("the same stands twice in `{key}`"))
        .at(again, "again")
        .at(first, "the first time")
        .hint("take one of them out")
}
