//! Revisions around their content.

use bytes::Bytes;
use chablon_wire::pb::{self, DocumentKind};
use chablon_wire::{WireError, decode_revision};

use super::{ingredient, recipe, reference, refused};

#[test]
fn revisions() {
    let good = || recipe(|_| ());
    refused(&pb::Revision { number: 0, ..good() }, "number: is required");
    refused(&pb::Revision { content: None, ..good() }, "content: is required");
    refused(
        &pb::Revision { kind: DocumentKind::Site as i32, ..good() },
        "content: is not of the kind that is stated, site",
    );
    refused(&pb::Revision { kind: 6, ..good() }, "kind: 6 is not a value that this version knows");
}

#[test]
fn pins() {
    let good = || recipe(|_| ());
    let mut less = good();
    less.pins.pop();
    refused(&less, "pins: lacks `ingredient/milk-whole`, which the content uses");
    let mut more = good();
    more.pins.push(reference(DocumentKind::Ingredient, "salt", 1));
    refused(&more, "pins[2]: `ingredient/salt` isn't used by the content");
    let mut turned = good();
    turned.pins.reverse();
    refused(&turned, "pins[1]: `ingredient/honey` must stand before `ingredient/milk-whole`");
    let mut short = good();
    short.pins[0].digest = Bytes::from_static(&[1; 20]);
    refused(&short, "pins[0].digest: a digest has 32 bytes, not 20");
    let mut none = good();
    none.pins[1].digest = Bytes::new();
    refused(&none, "pins[1].digest: is required");
    let mut compound = ingredient(|one| {
        one.made_of = vec![pb::Constituent { ingredient: "honey".into(), share: None }];
    });
    compound.pins = vec![reference(DocumentKind::Ingredient, "honey", 1)];
    refused(&compound, "`ingredient/honey` uses itself");
}

#[test]
fn what_must_be_understood_comes_before_what_is_said() {
    let mut revision = recipe(|r| r.title.clear());
    revision.required_features = vec!["deviations".into()];
    refused(
        &revision,
        "a revision needs `deviations`, which this program doesn't know; bring it up to date",
    );
    revision.required_features = vec!["b".into(), "a".into()];
    refused(&revision, "required_features[1]: `a` must stand before `b`");
    revision.schema_version = 0;
    refused(&revision, "schema_version: is required");
    // Version 2, and the kind (field 3) has become a text.
    let later = [0x08, 2, 0x1a, 3, b'n', b'e', b'w'];
    let refusal = decode_revision(&later).unwrap_err();
    assert_eq!(refusal, WireError::UnsupportedSchema { what: "a revision", version: 2, known: 1 });
}
