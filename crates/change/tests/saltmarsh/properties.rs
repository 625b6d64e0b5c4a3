//! What holds of every comparison.

use std::sync::LazyLock;

use chablon_change::{Change, Class, Edition, What, compare};
use chablon_model::{Condition, DocumentContent, Storage};
use proptest::prelude::*;

use crate::book::{day, edited};
use crate::mirror::mirrored;
use crate::mutate::{meant, mutated, mutations};

static BOOK: LazyLock<Vec<DocumentContent>> = LazyLock::new(|| edited(&[]));

fn in_any_order(changes: impl IntoIterator<Item = Change>) -> Vec<String> {
    let mut all: Vec<String> = changes.into_iter().map(|change| format!("{change:?}")).collect();
    all.sort();
    all
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn an_edition_doesn_t_differ_from_itself(by in mutations()) {
        let documents = mutated(&BOOK, &by);
        let edition = Edition::new(&documents);
        let comparison = compare(&edition, &edition, day());
        prop_assert!(comparison.is_empty(), "{:?}", comparison.changes());
        prop_assert_eq!(comparison.class(), None);
    }

    #[test]
    fn whatever_documents_say_otherwise_is_told(by in mutations()) {
        let documents = mutated(&BOOK, &by);
        let (old, new) = (Edition::new(&*BOOK), Edition::new(&documents));
        let comparison = compare(&old, &new, day());
        prop_assert_eq!(comparison.is_empty(), old == new);
        for change in comparison.changes() {
            let sentence = change.to_string();
            prop_assert!(!sentence.ends_with([' ', ':', '.']), "{sentence}");
        }
    }

    #[test]
    fn nothing_that_is_meant_passes_as_spelling(by in meant()) {
        let documents = mutated(&BOOK, std::slice::from_ref(&by));
        let comparison = compare(&Edition::new(&*BOOK), &Edition::new(&documents), day());
        let spelt = |change: &Change| change.what == What::Rewritten;
        prop_assert!(!comparison.changes().iter().any(spelt), "{by:?}");
        if by.is_of_the_bench() && !comparison.is_empty() {
            prop_assert!(comparison.class() >= Some(Class::Recipe), "{by:?}");
        }
    }

    #[test]
    fn exchanging_the_sides_mirrors_the_changes(one in mutations(), other in mutations()) {
        let (one, other) = (mutated(&BOOK, &one), mutated(&BOOK, &other));
        let (one, other) = (Edition::new(&one), Edition::new(&other));
        let there = compare(&one, &other, day());
        let back = compare(&other, &one, day());
        let mirrored = there.changes().iter().map(mirrored);
        prop_assert_eq!(in_any_order(mirrored), in_any_order(back.changes().to_vec()));
    }

    #[test]
    fn the_worst_comes_first_and_decides(by in mutations()) {
        let documents = mutated(&BOOK, &by);
        let comparison = compare(&Edition::new(&*BOOK), &Edition::new(&documents), day());
        let classes: Vec<Class> = comparison.changes().iter().map(Change::class).collect();
        let harmless = |one: &Class| *one != Class::Safety;
        prop_assert!(classes.iter().map(harmless).is_sorted());
        let headings = comparison.changes().iter().map(|one| (harmless(&one.class()), one.what.group()));
        prop_assert!(headings.is_sorted());
        prop_assert_eq!(comparison.class(), classes.iter().max().copied());
    }

    #[test]
    fn a_safety_change_more_never_lowers_the_class(by in mutations(), at in any::<usize>()) {
        let documents = mutated(&BOOK, &by);
        let old = Edition::new(&*BOOK);
        let before = compare(&old, &Edition::new(&documents), day());
        let mut changed = documents;
        if !keep_otherwise(&mut changed, at) {
            return Ok(());
        }
        let after = compare(&old, &Edition::new(&changed), day());
        prop_assert_eq!(after.class(), Some(Class::Safety));
        prop_assert!(after.class() >= before.class());
    }
}

/// Keeps a recipe of the book for a time that no other change states.
fn keep_otherwise(documents: &mut [DocumentContent], at: usize) -> bool {
    let is_in_book = |one: &DocumentContent| BOOK.iter().any(|known| known.key() == one.key());
    let mut recipes: Vec<_> = documents
        .iter_mut()
        .filter(|one| matches!(one, DocumentContent::Recipe(_)) && is_in_book(one))
        .collect();
    let count = recipes.len();
    let Some(DocumentContent::Recipe(recipe)) = recipes.get_mut(at % count.max(1)) else {
        return false;
    };
    let keeps = Some("999 d".parse().unwrap());
    recipe.storage = Some(Storage { condition: Condition::Frozen, keeps });
    true
}
