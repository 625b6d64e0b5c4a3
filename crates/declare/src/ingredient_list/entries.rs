//! The entries of a list in their order.

use std::collections::{BTreeMap, BTreeSet};

use chablon_arith::IngredientIndex;
use chablon_model::{Allergen, AllergenState, Constituent, Ingredient, IngredientId};
use chablon_quantity::Exact;

use super::compound::{Expanded, expand, unmarked};
use super::masses::Masses;
use super::words::Words;
use super::{Entry, ListFinding, ListOptions, Quantity, Span, mark, name};
use crate::Declarer;
use crate::allergens::States;

/// What entries are built from.
pub(super) struct Builder<'a> {
    pub(super) declarer: &'a Declarer<'a>,
    pub(super) options: &'a ListOptions,
    pub(super) words: &'static Words,
}

/// Ingredients of one name that are made of the same.
struct Named<'a> {
    ingredients: Vec<(IngredientIndex, &'a Ingredient)>,
    grams: Exact,
    called_for: Exact,
}

impl<'a> Builder<'a> {
    pub(super) fn entries(&self, masses: &Masses, findings: &mut Vec<ListFinding>) -> Vec<Entry> {
        let mut named = self.named(masses);
        named.sort_by(|a, b| {
            b.grams.cmp(&a.grams).then_with(|| a.ingredients[0].0.cmp(&b.ingredients[0].0))
        });
        findings.extend(self.not_listed(masses));
        let called_for: Exact = named.iter().map(|one| &one.called_for).sum();
        let in_grams = called_for > Exact::from(100);
        let entry = |one: &Named<'_>| self.entry(one, in_grams, findings);
        let entries: Vec<Entry> = named.iter().map(entry).collect();
        // One ingredient can stand in a list several times.
        let mut seen = Vec::new();
        findings.retain(|finding| {
            let new = !seen.contains(finding);
            seen.push(finding.clone());
            new
        });
        entries
    }

    fn named(&self, masses: &Masses) -> Vec<Named<'a>> {
        let mut by_name: BTreeMap<&str, Vec<Named<'a>>> = BTreeMap::new();
        for (index, grams) in &masses.grams {
            let ingredient = self.declarer.ingredients[index.0];
            let (name, _) = name::of(ingredient, &self.options.language, &self.options.fallback);
            let same = by_name.entry(name).or_default();
            let made_alike = |one: &&mut Named<'_>| {
                made_alike(&one.ingredients[0].1.made_of, &ingredient.made_of)
            };
            let none = || Exact::from(0);
            let called_for = if self.options.emphasised.contains(&ingredient.id) {
                grams.clone()
            } else {
                none()
            };
            if let Some(one) = same.iter_mut().find(made_alike) {
                one.ingredients.push((*index, ingredient));
                one.grams = &one.grams + grams;
                one.called_for = &one.called_for + &called_for;
            } else {
                let ingredients = vec![(*index, ingredient)];
                same.push(Named { ingredients, grams: grams.clone(), called_for });
            }
        }
        by_name.into_values().flatten().collect()
    }

    fn not_listed(&self, masses: &Masses) -> impl Iterator<Item = ListFinding> {
        let listed = |id: &&IngredientId| {
            let index = self.declarer.book.find_ingredient(id);
            index.is_some_and(|index| masses.grams.contains_key(&index))
        };
        let absent = self.options.emphasised.iter().filter(move |id| !listed(id));
        absent.map(|id| ListFinding::NotListed { ingredient: id.clone() })
    }

    fn entry(&self, of: &Named<'_>, in_grams: bool, findings: &mut Vec<ListFinding>) -> Entry {
        let first = of.ingredients[0].1;
        let Expanded { parts, marked } = expand(self, first, findings);
        let mut contained = BTreeSet::new();
        for (_, ingredient) in &of.ingredients {
            contained.extend(self.contained(ingredient, findings));
        }
        let quantity = Some(of.called_for.clone()).filter(Exact::is_positive);
        let (listed_as, _) = name::of(first, &self.options.language, &self.options.fallback);
        Entry {
            listed_as: listed_as.to_owned(),
            ingredients: of.ingredients.iter().map(|(_, one)| one.id.clone()).collect(),
            name: self.name(first, &unmarked(&contained, &marked), findings),
            grams: of.grams.clone(),
            quantity: quantity.map(if in_grams {
                Quantity::GramsPer100G
            } else {
                Quantity::Percent
            }),
            made_of: parts,
        }
    }

    /// What the law counts as an allergen and the ingredient contains.
    pub(super) fn contained(
        &self,
        ingredient: &Ingredient,
        findings: &mut Vec<ListFinding>,
    ) -> BTreeSet<Allergen> {
        let view = self.options.law.view(&States::of_ingredient(ingredient));
        let view = view.into_iter().filter(|one| one.state == AllergenState::Contains);
        let mut contained = BTreeSet::new();
        for entry in view {
            if let Some(named) = entry.named.first().filter(|_| entry.unnamed) {
                let (ingredient, allergen) = (ingredient.id.clone(), named.allergen.clone());
                findings.push(ListFinding::KindNotNamed { ingredient, allergen });
            }
            contained.extend(entry.named.into_iter().map(|named| named.allergen));
        }
        contained
    }

    pub(super) fn name(
        &self,
        ingredient: &Ingredient,
        contained: &BTreeSet<Allergen>,
        findings: &mut Vec<ListFinding>,
    ) -> Vec<Span> {
        let (name, translated) =
            name::of(ingredient, &self.options.language, &self.options.fallback);
        if !translated {
            findings.push(ListFinding::NotTranslated { ingredient: ingredient.id.clone() });
        }
        mark::mark(name, contained, self.words)
    }
}

/// Whether two compound ingredients are made of the same, in the same shares.
fn made_alike(a: &[Constituent], b: &[Constituent]) -> bool {
    let parts = |of: &[Constituent]| -> Vec<(IngredientId, Option<Exact>)> {
        let part = |one: &Constituent| {
            (one.ingredient.clone(), one.amount.as_ref().map(|share| share.quantity().0))
        };
        of.iter().map(part).collect()
    };
    parts(a) == parts(b)
}
