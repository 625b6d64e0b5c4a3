//! What a release would change.

use std::collections::BTreeMap;

use chablon_model::{DocumentKey, DocumentKind};
use chablon_sdk::publish::{Draft, Drafted, Fate};
use owo_colors::Style;

use crate::clock;

use super::leaving::leaving;
use super::listing::{Listing, Side, paragraph, styled};
use super::tongue::Tongue;

/// The draft for the one who is about to send it.
pub(crate) fn draft(draft: &Draft, tongue: Tongue, width: usize) -> String {
    let mut text = new(draft, width);
    text += &changed(draft, width);
    let unchanged = draft.documents().iter().filter(|one| one.fate == Fate::Unchanged).count();
    if unchanged > 0 {
        text += &paragraph(&format!("Unchanged: {}", counted(unchanged, "document")), 0, width);
    }
    text += &held_back(draft, width);
    text += &site_moments(draft, width);
    text += &not_in_book(draft, width);
    text += &leaving(draft.leaving(), tongue, width);
    text
}

/// The documents that the hub has nothing of, by kind.
fn new(draft: &Draft, width: usize) -> String {
    let mut by_kind: BTreeMap<DocumentKind, Vec<&str>> = BTreeMap::new();
    for one in draft.documents().iter().filter(|one| one.fate == Fate::New) {
        by_kind.entry(one.revision.key.kind).or_default().push(one.revision.key.id.as_str());
    }
    let mut text = String::new();
    for (kind, ids) in by_kind {
        let line = match kind {
            DocumentKind::Book => "New: the group's settings".to_owned(),
            _ => format!("New: {}: {}", counted(ids.len(), noun(kind)), ids.join(", ")),
        };
        text += &paragraph(&line, 0, width);
    }
    text
}

fn changed(draft: &Draft, width: usize) -> String {
    let mut listing = Listing::new(0, [Side::Left, Side::Left, Side::Left]);
    let mut any = false;
    for one in draft.documents() {
        let why = match &one.fate {
            Fate::Changed => "changed".to_owned(),
            Fate::CarriedAlong { because } => format!("carried along: it uses {}", ids(because)),
            _ => continue,
        };
        any = true;
        listing.row([key(&one.revision.key), revisions(one), why]);
    }
    if any { listing.render(width) } else { String::new() }
}

/// `revision 1 -> 2`.
fn revisions(one: &Drafted) -> String {
    let number = one.revision.number;
    format!("revision {} -> {number}", number.saturating_sub(1))
}

fn held_back(draft: &Draft, width: usize) -> String {
    let held = draft.documents().iter().filter_map(|one| match &one.fate {
        Fate::HeldBack { site } => Some(format!("{} (for {site} alone)", key(&one.revision.key))),
        _ => None,
    });
    let held: Vec<String> = held.collect();
    if held.is_empty() {
        return String::new();
    }
    let line = format!("Held back, since its kitchen isn't addressed: {}", held.join(", "));
    paragraph(&line, 0, width)
}

/// From when it holds at the sites that have a moment of their own, by the machine's time zone.
fn site_moments(draft: &Draft, width: usize) -> String {
    let Some(part) = draft.parts().iter().find(|part| !part.at_sites.is_empty()) else {
        return String::new();
    };
    let sites = part.at_sites.iter().map(|(site, at)| format!("{site} {}", clock::show(*at)));
    let sites = sites.collect::<Vec<_>>().join(", ");
    let line =
        format!("By the clock here that is: {sites}; elsewhere {}", clock::show(part.holds_from));
    paragraph(&line, 0, width)
}

fn not_in_book(draft: &Draft, width: usize) -> String {
    let left: Vec<String> = draft.not_in_book().iter().map(|one| key(&one.key)).collect();
    if left.is_empty() {
        return String::new();
    }
    let line = format!(
        "Not in the book any more, and still in force (withdraw it if none is to be made): {}",
        left.join(", ")
    );
    styled(&line, 0, width, Style::new().yellow())
}

/// A document as a sentence names it.
pub(crate) fn key(key: &DocumentKey) -> String {
    match key.kind {
        DocumentKind::Book => "the group's settings".to_owned(),
        kind => format!("{} {}", noun(kind), key.id),
    }
}

fn ids(keys: &[DocumentKey]) -> String {
    let ids: Vec<&str> = keys.iter().map(|key| key.id.as_str()).collect();
    ids.join(", ")
}

/// How many documents of each kind: `25 recipes, 50 ingredients`.
pub(crate) fn contents(kinds: impl Iterator<Item = DocumentKind>) -> String {
    let kinds: Vec<DocumentKind> = kinds.collect();
    let of = |kind| kinds.iter().filter(|one| **one == kind).count();
    let named =
        [DocumentKind::Recipe, DocumentKind::Ingredient, DocumentKind::Site, DocumentKind::Prices];
    let parts: Vec<String> = named
        .into_iter()
        .filter(|kind| of(*kind) > 0)
        .map(|kind| counted(of(kind), noun(kind)))
        .collect();
    if parts.is_empty() { "nothing".to_owned() } else { parts.join(", ") }
}

/// What a document of a kind is called.
fn noun(kind: DocumentKind) -> &'static str {
    match kind {
        DocumentKind::Book => "settings",
        DocumentKind::Ingredient => "ingredient",
        DocumentKind::Recipe => "recipe",
        DocumentKind::Site => "site",
        DocumentKind::Prices => "price list",
    }
}

/// A number of things: `1 error`, `2 errors`.
pub(crate) fn counted(count: usize, thing: &str) -> String {
    let plural = if count == 1 { "" } else { "s" };
    format!("{count} {thing}{plural}")
}
