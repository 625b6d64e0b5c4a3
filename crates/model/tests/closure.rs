//! Following pins to everything that a figure is computed from.

use chablon_model::{
    ClosureBuilder, ClosureError, Digest, DocumentContent, Recipe, Revision, RevisionRef, Text,
};

fn reference(id: &str, number: u32) -> RevisionRef {
    let mut bytes = [0; 32];
    bytes[..id.len()].copy_from_slice(id.as_bytes());
    bytes[31] = u8::try_from(number).unwrap();
    RevisionRef { key: format!("recipe/{id}").parse().unwrap(), number, digest: Digest(bytes) }
}

fn recipe(id: &str, pins: &[RevisionRef]) -> Revision {
    let recipe = Recipe {
        id: id.parse().unwrap(),
        title: Text::default(),
        density: None,
        note: None,
        yields: None,
        batch: chablon_model::Batch::default(),
        lines: vec![],
        losses: vec![],
        steps: vec![],
        storage: None,
        declared: chablon_model::DeclaredContent::default(),
    };
    Revision { number: 1, pins: pins.to_vec(), content: DocumentContent::Recipe(recipe) }
}

#[test]
fn a_shared_component_is_wanted_once() {
    let (custard, mousse, cake) =
        (reference("custard", 1), reference("mousse", 1), reference("cake", 1));
    let mut builder = ClosureBuilder::new([cake.clone()]).unwrap();
    builder.add(&cake, recipe("cake", &[mousse.clone(), custard.clone()])).unwrap();
    assert_eq!(builder.wanted(), [custard.clone(), mousse.clone()]);
    builder.add(&mousse, recipe("mousse", std::slice::from_ref(&custard))).unwrap();
    assert_eq!(builder.wanted(), std::slice::from_ref(&custard));
    builder.add(&custard, recipe("custard", &[])).unwrap();
    let closure = builder.finish().unwrap();
    assert_eq!(closure.recipes.len(), 3);
    assert_eq!(closure.digests.len(), 3);
}

#[test]
fn an_unfinished_closure_is_none() {
    assert!(ClosureBuilder::new([reference("cake", 1)]).unwrap().finish().is_none());
}

#[test]
fn two_revisions_of_one_document_are_refused() {
    let cake = reference("cake", 1);
    let mousse = reference("mousse", 1);
    let mut builder = ClosureBuilder::new([cake.clone()]).unwrap();
    builder.add(&cake, recipe("cake", &[mousse.clone(), reference("custard", 1)])).unwrap();
    let error = builder.add(&mousse, recipe("mousse", &[reference("custard", 2)])).unwrap_err();
    assert!(matches!(error, ClosureError::TwoRevisions { first: 1, second: 2, .. }));
}

#[test]
fn another_document_than_was_asked_for_is_refused() {
    let cake = reference("cake", 1);
    let mut builder = ClosureBuilder::new([cake.clone()]).unwrap();
    let error = builder.add(&cake, recipe("mousse", &[])).unwrap_err();
    assert!(matches!(error, ClosureError::OtherDocument { .. }));
}
