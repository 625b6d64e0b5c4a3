//! What a compound ingredient is made of, down to the last declared constituent.

use std::collections::BTreeSet;

use chablon_model::{Allergen, Constituent, Ingredient, IngredientId};

use super::entries::Builder;
use super::{ListFinding, Part, Span};

/// More than this no label could print; constituents that use each other over and over would.
const MOST_PARTS: usize = 500;

/// The constituents of an ingredient with the allergens that are marked in them.
pub(super) struct Expanded {
    pub(super) parts: Vec<Part>,
    pub(super) marked: BTreeSet<Allergen>,
}

/// A constituent on the way down, before its name is marked.
struct Below<'a> {
    constituent: &'a Constituent,
    /// Nothing where it isn't among the ingredients.
    ingredient: Option<&'a Ingredient>,
    depth: usize,
    contained: BTreeSet<Allergen>,
}

/// Expands a compound ingredient. Where a constituent is one itself, its allergens are marked in
/// what it is made of, and beside its own name only if they aren't there.
pub(super) fn expand(
    builder: &Builder<'_>,
    compound: &Ingredient,
    findings: &mut Vec<ListFinding>,
) -> Expanded {
    let below = walk(builder, compound, findings);
    let marked = below.iter().flat_map(|one| one.contained.iter().cloned()).collect();
    let parts = below.iter().enumerate().map(|(at, one)| {
        let made_of = below[at + 1..].iter().take_while(|other| other.depth > one.depth);
        let marked = made_of.flat_map(|other| other.contained.iter().cloned()).collect();
        one.part(builder, &marked, findings)
    });
    Expanded { parts: parts.collect(), marked }
}

/// Walks down on a stack of its own, each constituent followed by what it is made of.
fn walk<'a>(
    builder: &Builder<'a>,
    compound: &'a Ingredient,
    findings: &mut Vec<ListFinding>,
) -> Vec<Below<'a>> {
    let mut found: Vec<Below<'_>> = Vec::new();
    let mut way: Vec<&IngredientId> = vec![&compound.id];
    let mut waiting: Vec<(&Constituent, usize)> =
        compound.made_of.iter().rev().map(|part| (part, 1)).collect();
    while let Some((constituent, depth)) = waiting.pop() {
        if found.len() == MOST_PARTS {
            findings.push(ListFinding::TooManyParts { ingredient: compound.id.clone() });
            break;
        }
        let ingredient = builder.declarer.library.ingredient(&constituent.ingredient);
        let contained = ingredient.map(|one| builder.contained(one, findings)).unwrap_or_default();
        found.push(Below { constituent, ingredient, depth, contained });
        way.truncate(depth);
        if way.contains(&&constituent.ingredient) {
            let ingredient = constituent.ingredient.clone();
            findings.push(ListFinding::MadeOfItself { ingredient });
            continue;
        }
        way.push(&constituent.ingredient);
        let made_of = ingredient.into_iter().flat_map(|one| one.made_of.iter().rev());
        waiting.extend(made_of.map(|part| (part, depth + 1)));
    }
    found
}

impl Below<'_> {
    fn part(
        &self,
        builder: &Builder<'_>,
        marked: &BTreeSet<Allergen>,
        findings: &mut Vec<ListFinding>,
    ) -> Part {
        let id = &self.constituent.ingredient;
        let name = if let Some(ingredient) = self.ingredient {
            builder.name(ingredient, &unmarked(&self.contained, marked), findings)
        } else {
            findings.push(ListFinding::NotThere { ingredient: id.clone() });
            vec![Span { text: id.to_string(), allergen: false }]
        };
        let share = self.constituent.amount.as_ref().map(|share| share.quantity().0);
        Part { ingredient: id.clone(), depth: self.depth, name, share }
    }
}

/// The allergens that aren't marked below: neither themselves, nor a kind of the group that they
/// are.
pub(super) fn unmarked(
    contained: &BTreeSet<Allergen>,
    marked: &BTreeSet<Allergen>,
) -> BTreeSet<Allergen> {
    let is_marked = |allergen: &&Allergen| {
        marked.contains(*allergen) || marked.iter().any(|one| one.group() == **allergen)
    };
    contained.iter().filter(|one| !is_marked(one)).cloned().collect()
}
