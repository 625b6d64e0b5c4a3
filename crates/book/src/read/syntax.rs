//! Files that can't be read as TOML.

use std::ops::Range;

use toml::de::{DeTable, DeValue, Error};

use super::notes::Named;
use super::role::Role;
use super::value::Page;
use crate::Finding;

/// Notes every syntax error of a file, and the ids that it declares as far as they can be told, so
/// that what uses them isn't taken to be wrong.
pub(super) fn note_broken(page: Page<'_>, role: &Role, table: &DeTable<'_>, errors: &[Error]) {
    let mut last_line = None;
    for error in errors {
        let span = error.span().unwrap_or(0..0);
        // What follows on one line is mostly the same mistake over again.
        let line = page.text.as_bytes().iter().take(span.start).filter(|b| **b == b'\n').count();
        if last_line.replace(line) != Some(line) {
            page.notes.note(broken(page, error, span));
        }
    }
    rescue_ids(page, role, table);
}

fn broken(page: Page<'_>, error: &Error, span: Range<usize>) -> Finding {
    let span = within_line(page.text, span);
    let finding = Finding::error("syntax", format!("this is not TOML: {}", error.message()))
        .at(page.span(span.clone()), "here");
    if error.message().starts_with("duplicate key") {
        return finding.hint("a key stands once; of several tables each begins as in [[line]]");
    }
    match advice(line_around(page.text, span.start)) {
        Some(hint) => finding.hint(hint),
        None => finding,
    }
}

/// A place that can be shown: on one line, and not beyond the last letter of the file.
fn within_line(text: &str, span: Range<usize>) -> Range<usize> {
    let last = text.trim_end().char_indices().last();
    match last {
        Some((at, letter)) if span.start >= at + letter.len_utf8() => at..at + letter.len_utf8(),
        _ if text.get(span.clone()).is_none_or(|text| text.contains('\n')) => {
            span.start..span.start
        }
        _ => span,
    }
}

fn line_around(text: &str, at: usize) -> &str {
    let at = (0..=at.min(text.len())).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0);
    let start = text[..at].rfind('\n').map_or(0, |newline| newline + 1);
    let end = text[at..].find('\n').map_or(text.len(), |newline| at + newline);
    &text[start..end]
}

/// What is commonly wrong with a line like this.
fn advice(line: &str) -> Option<&'static str> {
    let line = line.trim();
    if line.contains(['“', '”', '‘', '’', '„']) {
        return Some("use straight quotes: \"...\"");
    }
    if line.matches('"').count() % 2 == 1 {
        return Some("a quote is left open; text begins and ends with \"");
    }
    let (key, value) = line.split_once('=')?;
    let bare = value.trim().starts_with(char::is_alphanumeric);
    if bare && !matches!(value.trim(), "true" | "false") {
        return Some("text and quantities stand in quotes: amount = \"500 g\"");
    }
    let key_is_odd = !key.trim().chars().all(|c| c.is_ascii_alphanumeric() || "_-.".contains(c));
    key_is_odd.then_some("a key with other letters than a-z stands in quotes: \"gluten.wheat\"")
}

fn rescue_ids(page: Page<'_>, role: &Role, table: &DeTable<'_>) {
    let named = match role {
        Role::Ingredients => Named::Ingredient,
        Role::Recipe => Named::Recipe,
        Role::Site => Named::Site,
        Role::Settings | Role::Prices(_) | Role::Outside => return,
    };
    let declared = match table.get("ingredient").map(toml::Spanned::get_ref) {
        Some(DeValue::Array(entries)) if named == Named::Ingredient => {
            entries.iter().filter_map(|entry| entry.get_ref().as_table()).collect()
        }
        _ => vec![table],
    };
    let mut rescued = false;
    for table in declared {
        let Some(id) = table.get("id") else { continue };
        let Some(text) = id.get_ref().as_str() else { continue };
        page.notes.declare(named, text, page.span(id.span()));
        rescued = true;
    }
    // How many ingredients a broken file holds can't be told, nor what a site has.
    let incomplete = named != Named::Recipe || !rescued;
    if incomplete {
        page.notes.unread.borrow_mut().push(named);
    }
    if named == Named::Site {
        page.notes.unread.borrow_mut().push(Named::Equipment);
    }
}
