//! Revisions.

use chablon_model::{Book, DocumentContent, DocumentKey, DocumentKind, Revision};
use prost::Message;

use crate::bytes::{self, SCHEMA_VERSION};
use crate::common::revision_number;
use crate::form::{Wire, list, sorted, to_list};
use crate::{At, Violation, WireError, ingredient, pb, prices, recipe, site};

/// What revisions are called in messages.
const WHAT: &str = "a revision";

/// The bytes of a revision: equal revisions give equal bytes.
///
/// A value that breaks a rule of the schema gives bytes that [`decode_revision`] refuses.
pub fn encode_revision(revision: &Revision) -> Vec<u8> {
    let DocumentKey { kind, id } = revision.content.key();
    let form = pb::Revision {
        schema_version: SCHEMA_VERSION,
        required_features: Vec::new(),
        kind: crate::common::document_kind_code(kind),
        id: id.to_string(),
        number: revision.number,
        pins: to_list(&revision.pins),
        content: Some(content_to_pb(&revision.content)),
    };
    form.encode_to_vec()
}

/// The revision that the bytes hold, if they keep all rules of the schema.
pub fn decode_revision(bytes: &[u8]) -> Result<Revision, WireError> {
    Ok(from_pb(bytes::decode(bytes, WHAT)?)?)
}

fn content_to_pb(content: &DocumentContent) -> pb::revision::Content {
    use pb::revision::Content;
    match content {
        DocumentContent::Book(book) => Content::Book(book.to_pb()),
        DocumentContent::Ingredient(one) => Content::Ingredient(ingredient::to_pb(one)),
        DocumentContent::Recipe(one) => Content::Recipe(recipe::to_pb(one)),
        DocumentContent::Site(one) => Content::Site(site::to_pb(one)),
        DocumentContent::Prices(list) => Content::Prices(prices::to_pb(list)),
    }
}

fn from_pb(form: pb::Revision) -> Result<Revision, Violation> {
    let key = DocumentKey::from_pb(pb::DocumentName { kind: form.kind, id: form.id })?;
    let number = revision_number(form.number)?;
    let content = form.content.ok_or_else(|| Violation::required().at("content"))?;
    let content = content_from_pb(&key, content)?;
    let revision = Revision { number, pins: list(form.pins, "pins")?, content };
    check_pins(&revision)?;
    Ok(revision)
}

fn content_from_pb(
    key: &DocumentKey,
    content: pb::revision::Content,
) -> Result<DocumentContent, Violation> {
    use pb::revision::Content;
    match (key.kind, content) {
        (DocumentKind::Book, Content::Book(book)) => {
            check_book_id(key)?;
            Book::from_pb(book).map(DocumentContent::Book).at("book")
        }
        (DocumentKind::Ingredient, Content::Ingredient(one)) => {
            let one = ingredient::from_pb((&key.id).into(), one);
            one.map(DocumentContent::Ingredient).at("ingredient")
        }
        (DocumentKind::Recipe, Content::Recipe(one)) => {
            recipe::from_pb((&key.id).into(), one).map(DocumentContent::Recipe).at("recipe")
        }
        (DocumentKind::Site, Content::Site(one)) => {
            site::from_pb((&key.id).into(), one).map(DocumentContent::Site).at("site")
        }
        (DocumentKind::Prices, Content::Prices(one)) => {
            prices::from_pb((&key.id).into(), one).map(DocumentContent::Prices).at("prices")
        }
        (kind, _) => {
            Err(Violation::new(format!("is not of the kind that is stated, {kind}")).at("content"))
        }
    }
}

fn check_book_id(key: &DocumentKey) -> Result<(), Violation> {
    if key.id.as_str() == DocumentContent::BOOK_ID {
        return Ok(());
    }
    let reason = format!("a group's settings have the id `{}`", DocumentContent::BOOK_ID);
    Err(Violation::new(reason).at("id"))
}

/// The pins must be those of what the content uses, no more and no less.
fn check_pins(revision: &Revision) -> Result<(), Violation> {
    let pinned: Vec<&DocumentKey> = revision.pins.iter().map(|pin| &pin.key).collect();
    sorted(&pinned, "pins")?;
    let used = revision.content.names_used();
    let own = revision.content.key();
    if used.binary_search(&name(&own)).is_ok() {
        return Err(Violation::new(format!("`{own}` uses itself")));
    }
    if let Some(index) = pinned.iter().position(|pin| used.binary_search(&name(pin)).is_err()) {
        let reason = format!("`{}` isn't used by the content", pinned[index]);
        return Err(Violation::new(reason).at_index(index).at("pins"));
    }
    if used.len() == pinned.len() {
        return Ok(());
    }
    let missing = revision.content.uses().into_iter().find(|key| !pinned.contains(&key));
    missing.map_or(Ok(()), |key| {
        Err(Violation::new(format!("lacks `{key}`, which the content uses")).at("pins"))
    })
}

fn name(key: &DocumentKey) -> (DocumentKind, &str) {
    (key.kind, key.id.as_str())
}
