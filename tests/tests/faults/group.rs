//! A group with many kitchens and many recipes.

use std::collections::BTreeSet;

use chablon_sdk::model::{Audience, DocumentContent, GroupId, SiteId};
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

/// Whom a release addresses: all, a group or one kitchen.
pub(crate) fn audience(version: u32) -> Audience {
    let number = version as usize;
    match version % 4 {
        0 => Audience::Of { groups: [group(number / 4)].into(), sites: [].into() },
        1 => Audience::site(site(number % KITCHENS)),
        _ => Audience::All,
    }
}
