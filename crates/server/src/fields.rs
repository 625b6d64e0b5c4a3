//! Fields of requests.

use std::collections::BTreeSet;
use std::fmt::Display;
use std::num::NonZeroU32;
use std::str::FromStr;

use bytes::Bytes;
use chablon_model::{Digest, DocumentKey, DocumentKind, Moment, SiteId, View};
use chablon_store::{Frozen, RequestId};
use chablon_wire::{At, Violation, Wire, document_kind, moment, pb, signatures_from_pb};

use crate::clock::Clock;

/// A text with a grammar of its own that must be there.
pub(crate) fn parsed<T>(text: &str, field: &str) -> Result<T, Violation>
where
    T: FromStr,
    T::Err: Display,
{
    if text.is_empty() {
        return Err(Violation::new("is required")).at(field);
    }
    text.parse().map_err(|error: T::Err| Violation::new(error.to_string())).at(field)
}

/// The site that a field names.
pub(crate) fn site(text: &str) -> Result<SiteId, Violation> {
    parsed(text, "site")
}

/// The view that a field names: a site's, or the whole where it is empty.
pub(crate) fn view(text: &str) -> Result<View, Violation> {
    if text.is_empty() { Ok(View::Whole) } else { site(text).map(View::Site) }
}

/// The request's own name.
pub(crate) fn request_id(text: &str) -> Result<RequestId, Violation> {
    parsed(text, "request_id")
}

/// A kind of document, or all of them.
pub(crate) fn kind(number: i32) -> Result<Option<DocumentKind>, Violation> {
    if number == 0 { Ok(None) } else { document_kind(number).map(Some) }
}

/// The document that a field names.
pub(crate) fn document(name: Option<pb::DocumentName>) -> Result<DocumentKey, Violation> {
    let name = name.ok_or_else(|| Violation::new("is required"));
    name.and_then(DocumentKey::from_pb).at("document")
}

/// A moment, or now.
pub(crate) fn at(milliseconds: Option<i64>, clock: &Clock) -> Result<Moment, Violation> {
    milliseconds.map_or_else(|| Ok(clock.now()), moment).at("at_ms")
}

/// A digest.
pub(crate) fn digest(bytes: Bytes, field: &str) -> Result<Digest, Violation> {
    Digest::from_pb(bytes).at(field)
}

/// How much a page may hold: what a request asks for, within bounds.
pub(crate) fn page_size(asked: u32, default: u32, max: u32) -> NonZeroU32 {
    let size = if asked == 0 { default } else { asked.min(max) };
    NonZeroU32::new(size).unwrap_or(NonZeroU32::MIN)
}

/// A list that has at least one item and at most so many.
pub(crate) fn bounded<T>(items: Vec<T>, max: usize, field: &str) -> Result<Vec<T>, Violation> {
    let refused = |reason: String| Err(Violation::new(reason).at(field));
    match items.len() {
        0 => refused("is required".to_owned()),
        many if many > max => refused(format!("has {many} items; at most {max} are taken at once")),
        _ => Ok(items),
    }
}

/// Digests, each once.
pub(crate) fn digests(list: Vec<Bytes>, max: usize) -> Result<Vec<Digest>, Violation> {
    let mut seen = BTreeSet::new();
    let each = |(index, bytes): (usize, Bytes)| {
        let found = Digest::from_pb(bytes).and_then(|digest| {
            let twice = || Violation::new(format!("`{digest}` is there twice"));
            seen.insert(digest).then_some(digest).ok_or_else(twice)
        });
        found.at_index(index).at("digests")
    };
    bounded(list, max, "digests")?.into_iter().enumerate().map(each).collect()
}

/// Frozen bytes. Whether they are what their digest says, and not too many, is for others to check;
/// so is whether a signature counts.
pub(crate) fn frozen(form: pb::FrozenBytes) -> Result<Frozen, Violation> {
    if form.body.is_empty() {
        return Err(Violation::new("is required").at("body"));
    }
    Ok(Frozen {
        digest: digest(form.digest, "digest")?,
        bytes: form.body,
        signatures: signatures_from_pb(form.signatures)?,
    })
}

/// Each of a list of frozen bytes.
pub(crate) fn frozen_list(
    list: Vec<pb::FrozenBytes>,
    field: &str,
) -> Result<Vec<Frozen>, Violation> {
    let each = |(index, form)| frozen(form).at_index(index).at(field);
    list.into_iter().enumerate().map(each).collect()
}
