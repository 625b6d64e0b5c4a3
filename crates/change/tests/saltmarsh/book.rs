//! The demonstration book, changed in its files as a chef changes it.

use std::fmt::Write as _;

use chablon_book::{AuthoredBook, Files, RenderOptions, read, render};
use chablon_change::{Change, Comparison, Edition, What, compare};
use chablon_model::{Day, DocumentContent};

/// A text in a file of the book, and what stands there after the change.
pub(crate) type Edit<'a> = (&'a str, &'a str, &'a str);

/// The documents of the book with these edits.
pub(crate) fn edited(edits: &[Edit<'_>]) -> Vec<DocumentContent> {
    let mut files = chablon_saltmarsh::files();
    for (path, from, to) in edits {
        match files.iter_mut().find(|(name, _)| name == path) {
            Some((_, text)) => {
                assert_eq!(text.matches(from).count(), 1, "`{from}` stands once in {path}");
                *text = text.replace(from, to);
            }
            None => files.push(((*path).to_owned(), (*to).to_owned())),
        }
    }
    read_book(files).documents()
}

fn read_book(files: Vec<(String, String)>) -> AuthoredBook {
    let files = Files::new(files);
    let outcome = read(&files);
    let findings = render(&outcome.findings, &files, RenderOptions::default());
    outcome.book.unwrap_or_else(|| panic!("{findings}"))
}

pub(crate) fn day() -> Day {
    "2026-11-25".parse().unwrap()
}

/// What edits mean.
pub(crate) fn comparison(edits: &[Edit<'_>]) -> Comparison {
    let (old, new) = (edited(&[]), edited(edits));
    compare(&Edition::new(&old), &Edition::new(&new), day())
}

/// The text of a file of the book.
pub(crate) fn file(path: &str) -> String {
    let files = chablon_saltmarsh::files();
    files.into_iter().find(|(name, _)| name == path).unwrap().1
}

/// What edits mean, as people read it: the class of all, every change with its own, and the
/// pieces that they are in. See [`is_shown`].
pub(crate) fn told(edits: &[Edit<'_>]) -> String {
    told_between(&[], edits)
}

/// Whether a change is shown: all but the figures of pieces that stand further off. Two pieces
/// stand for all, so that a figure of the book can be mended without every test here.
fn is_shown(change: &Change) -> bool {
    let is_figure = matches!(
        change.what,
        What::Content(_) | What::Label { .. } | What::IngredientList { .. } | What::Cost(_)
    );
    !is_figure || ["pear-buckwheat-entremet", "honey-loaf"].contains(&change.place.id.as_str())
}

/// The same where the book was edited before.
pub(crate) fn told_between(before: &[Edit<'_>], after: &[Edit<'_>]) -> String {
    let (old, new) = (edited(before), edited(after));
    let comparison = compare(&Edition::new(&old), &Edition::new(&new), day());
    let mut told = String::new();
    match comparison.class() {
        Some(class) => writeln!(told, "{class}").unwrap(),
        None => writeln!(told, "nothing").unwrap(),
    }
    for change in comparison.changes().iter().filter(|change| is_shown(change)) {
        writeln!(told, "  {:<6} {change}", change.class()).unwrap();
    }
    for changed in comparison.cascade().changed() {
        for route in comparison.cascade().pieces_of(changed) {
            writeln!(told, "  in {route}").unwrap();
        }
    }
    told
}
