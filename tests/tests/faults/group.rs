//! A group with many kitchens and many recipes.

use std::collections::BTreeSet;

use chablon_sdk::model::{
    Amount, Audience, Decision, Departure, Deviation, DeviationLimits, DocumentContent, Grant,
    GroupId, LineRef, Moment, NewAmount, RevisionRef, SiteId, Uses,
};
use chablon_sdk::now;
use chablon_sdk::quantity::{Authored, MassUnit, Number};
use chablon_testkit::sample;

/// How many kitchens there are.
pub(crate) const KITCHENS: usize = 20;

/// The groups, of which every kitchen is in one.
const GROUPS: [&str; 2] = ["coast", "inland"];

pub(crate) fn site(number: usize) -> SiteId {
    format!("kitchen-{number}").parse().expect("a site's id")
}

fn group(number: usize) -> GroupId {
    GROUPS[number % GROUPS.len()].parse().expect("a group's id")
}

/// The groups of a kitchen.
pub(crate) fn groups(kitchen: &SiteId) -> BTreeSet<GroupId> {
    (0..KITCHENS).filter(|number| site(*number) == *kitchen).map(group).collect()
}

/// The book as it is first released: the small one, and every kitchen.
pub(crate) fn book() -> Vec<DocumentContent> {
    let mut documents = sample::book().documents();
    documents.extend((0..KITCHENS).map(kitchen));
    documents
}

fn kitchen(number: usize) -> DocumentContent {
    let DocumentContent::Site(mut kitchen) = sample::document("site/harbour") else {
        panic!("a site's document describes a site")
    };
    kitchen.id = site(number);
    kitchen.groups = [group(number)].into_iter().collect();
    DocumentContent::Site(kitchen)
}

/// A writer's own recipe, in one of its versions.
pub(crate) fn recipe(writer: usize, version: u32) -> DocumentContent {
    let DocumentContent::Recipe(mut recipe) = sample::document("recipe/custard") else {
        panic!("a recipe's document is a recipe")
    };
    recipe.id = format!("custard-{writer}").parse().expect("a recipe's id");
    recipe.note = Some(format!("Version {version}"));
    DocumentContent::Recipe(recipe)
}

/// What a kitchen asks of a writer's recipe: more sugar.
pub(crate) fn deviation(id: &str, version: u32, based_on: RevisionRef, reason: &str) -> Deviation {
    let sugar = Uses::Ingredient("sugar-caster".parse().expect("an ingredient's id"));
    let grams = Amount::Mass(Authored::new(Number::whole(205), MassUnit::Gram));
    let (line, to) = (LineRef { number: 3, uses: sugar }, NewAmount::Exactly(grams));
    let from = now();
    Deviation {
        id: id.parse().expect("a deviation's id"),
        site: site(version as usize % KITCHENS),
        based_on,
        departures: vec![Departure::Amount { line, to }],
        limits: DeviationLimits::default(),
        from,
        until: Moment(from.0 + 86_400_000),
        reason: reason.to_owned(),
        decision: Decision::Asked,
    }
}

/// The same, granted.
pub(crate) fn granted(asked: Deviation) -> Deviation {
    let (by, at, allergens) = ("A chef".to_owned(), now(), BTreeSet::new());
    let grant = Grant { by, at, note: None, allergens, critical_limits: false };
    Deviation { decision: Decision::Granted(grant), ..asked }
}

/// Whom a release addresses: all, a group or one kitchen.
pub(crate) fn audience(version: u32) -> Audience {
    let number = version as usize;
    match version % 4 {
        0 => Audience::Of { groups: [group(number / 4)].into(), sites: [].into() },
        1 => Audience::site(site(number % KITCHENS)),
        _ => Audience::All,
    }
}
