//! What each document says otherwise.

use chablon_declare::allergens::AllergenDeclaration;
use chablon_model::{AllergenState, DocumentContent, DocumentKey, DocumentKind, Recipe};

use super::sink::Sink;
use super::{Compared, Side, ingredient, prices, recipe, settings, site};
use crate::edition::both;
use crate::{Cascade, Change, Pair, Presence, What};

/// Compares every document that either side has.
pub(super) fn compare(compared: &Compared<'_>, cascade: &Cascade, changes: &mut Vec<Change>) {
    let editions = compared.sides.as_ref().map(|side| side.edition);
    let book = editions.map(|edition| edition.settings);
    document(group(), book, changes, |books, sink| settings::compare(books, sink));
    for (id, sites) in both(editions.map(|edition| &edition.sites)) {
        document(id.into(), sites, changes, |sites, sink| site::compare(sites, sink));
    }
    for (id, ones) in both(editions.map(|edition| &edition.ingredients)) {
        document(id.into(), ones, changes, |ones, sink| ingredient::compare(ones, sink));
    }
    for (id, recipes) in both(editions.map(|edition| &edition.recipes)) {
        match recipes.both() {
            Some(two) if two.before == two.after => {
                let mut sink = Sink { place: id.into(), changes };
                if cascade.reaches(&sink.place) {
                    recipe::follow(compared, two.after, &mut sink);
                }
            }
            Some(_) => document(id.into(), recipes, changes, |recipes, sink| {
                recipe::compare(compared, recipes, sink);
            }),
            None => changes.push(presence_of(compared, id.into(), recipes)),
        }
    }
    for (id, lists) in both(editions.map(|edition| &edition.prices)) {
        document(id.into(), lists, changes, |lists, sink| prices::compare(lists, sink));
    }
}

/// Compares one document. What differs without meaning anything else is written otherwise.
fn document<'a, T: PartialEq>(
    place: DocumentKey,
    sides: Pair<Option<&'a T>>,
    changes: &mut Vec<Change>,
    compare: impl FnOnce(Pair<&'a T>, &mut Sink<'_>),
) {
    if sides.before == sides.after {
        return;
    }
    let before = changes.len();
    let mut sink = Sink { place, changes };
    match sides.both() {
        Some(sides) => compare(sides, &mut sink),
        None => sink.add(What::Document(sides.map(|side| side.map(|_| Presence::default())))),
    }
    if sink.changes.len() == before {
        sink.add(What::Rewritten);
    }
}

fn group() -> DocumentKey {
    let id = DocumentContent::BOOK_ID.parse().expect("the model's own id");
    DocumentKey { kind: DocumentKind::Book, id }
}

/// A recipe that only one side has.
fn presence_of(
    compared: &Compared<'_>,
    place: DocumentKey,
    recipes: Pair<Option<&Recipe>>,
) -> Change {
    let of = |side, recipe: Option<&Recipe>| recipe.map(|recipe| presence(side, recipe));
    let Pair { before, after } = &compared.sides;
    let sides = Pair::new(of(before, recipes.before), of(after, recipes.after));
    Change { place, what: What::Document(sides) }
}

fn presence(side: &Side<'_>, recipe: &Recipe) -> Presence {
    let controls = recipe.steps.iter().flat_map(|step| &step.controls);
    let limits = controls.filter(|control| control.critical).count();
    if !side.finished.contains(&recipe.id) {
        return Presence { limits, ..Presence::default() };
    }
    let not_free = |one: &AllergenDeclaration| one.state != AllergenState::Free;
    match side.declarer.allergens(&recipe.id) {
        Ok(mut allergens) => {
            allergens.retain(not_free);
            Presence { allergens, limits, not_told: None }
        }
        Err(error) => Presence { allergens: Vec::new(), limits, not_told: Some(error.to_string()) },
    }
}
