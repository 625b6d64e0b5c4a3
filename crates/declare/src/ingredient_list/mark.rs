//! Marking allergens in a name, and naming those that it doesn't hold.

use std::collections::BTreeSet;

use chablon_model::Allergen;

use super::Span;
use super::words::{AllergenWords, Words};

/// A run of letters and digits, or of anything between two such runs.
struct Token<'a> {
    text: &'a str,
    /// In lower case, where it is a word.
    word: Option<String>,
    marked: bool,
}

/// A name with its allergens marked: where the name holds a word for one, that word; else the
/// allergen is named behind it.
pub(super) fn mark(name: &str, contained: &BTreeSet<Allergen>, words: &Words) -> Vec<Span> {
    let mut tokens = tokens(name);
    let mut unnamed: Vec<&str> = Vec::new();
    for allergen in contained {
        let of = words.allergen(allergen);
        if !mark_words(&mut tokens, of) && !unnamed.contains(&of.shown) {
            unnamed.push(of.shown);
        }
    }
    let mut spans = Vec::new();
    for token in &tokens {
        push(&mut spans, token.text, token.marked);
    }
    if !unnamed.is_empty() {
        push(&mut spans, " (", false);
        for (at, shown) in unnamed.iter().enumerate() {
            push(&mut spans, if at == 0 { "" } else { ", " }, false);
            push(&mut spans, shown, true);
        }
        push(&mut spans, ")", false);
    }
    spans
}

fn tokens(name: &str) -> Vec<Token<'_>> {
    let mut tokens = Vec::new();
    let mut rest = name;
    while let Some(first) = rest.chars().next() {
        let is_word = first.is_alphanumeric();
        let end = rest.find(|c: char| c.is_alphanumeric() != is_word).unwrap_or(rest.len());
        let (text, after) = rest.split_at(end);
        let word = is_word.then(|| text.to_lowercase());
        tokens.push(Token { text, word, marked: false });
        rest = after;
    }
    tokens
}

/// Marks every place where the name holds one of the forms; whether there was one.
fn mark_words(tokens: &mut [Token<'_>], of: &AllergenWords) -> bool {
    let places: Vec<usize> = (0..tokens.len()).filter(|at| tokens[*at].word.is_some()).collect();
    let word = |tokens: &[Token<'_>], place: usize| {
        places.get(place).and_then(|at| tokens[*at].word.clone())
    };
    let mut found = false;
    for form in of.forms {
        let form: Vec<&str> = form.split(' ').collect();
        for start in 0..places.len() {
            let end = start + form.len();
            let held = (start..end).zip(&form);
            let held = held.map(|(place, part)| word(tokens, place).as_deref() == Some(*part));
            let before = start.checked_sub(1).and_then(|place| word(tokens, place));
            let after = word(tokens, end);
            let means_another = before.is_some_and(|one| of.unless_after.contains(&one.as_str()))
                || after.is_some_and(|one| of.unless_before.contains(&one.as_str()));
            if held.into_iter().all(|held| held) && !means_another {
                tokens[places[start]..=places[end - 1]]
                    .iter_mut()
                    .for_each(|one| one.marked = true);
                found = true;
            }
        }
    }
    found
}

fn push(spans: &mut Vec<Span>, text: &str, allergen: bool) {
    match spans.last_mut() {
        _ if text.is_empty() => {}
        Some(last) if last.allergen == allergen => last.text.push_str(text),
        _ => spans.push(Span { text: text.to_owned(), allergen }),
    }
}

#[cfg(test)]
mod tests {
    use super::super::words;
    use super::*;

    fn marked(name: &str, language: &str, codes: &[&str]) -> String {
        let words = words::of(&language.parse().expect("a language"));
        let contained = codes.iter().map(|code| code.parse().expect("a code")).collect();
        let capitals =
            |span: Span| if span.allergen { span.text.to_uppercase() } else { span.text };
        mark(name, &contained, words).into_iter().map(capitals).collect()
    }

    #[test]
    fn the_word_for_an_allergen_is_marked_where_the_name_holds_it() {
        assert_eq!(marked("whole milk powder", "en", &["milk"]), "whole MILK powder");
        assert_eq!(marked("jaune d’œuf", "fr", &["egg"]), "jaune d’ŒUF");
        assert_eq!(marked("Pine nuts", "en", &["nuts.pine-nut"]), "PINE NUTS");
        assert_eq!(marked("milk and egg", "en", &["egg", "milk"]), "MILK and EGG");
    }

    #[test]
    fn an_allergen_that_the_name_does_not_hold_is_named_behind_it() {
        assert_eq!(marked("butter", "en", &["milk"]), "butter (MILK)");
        assert_eq!(marked("crème", "fr", &["milk"]), "crème (LAIT)");
        assert_eq!(
            marked("crisp wafer flakes", "en", &["gluten.wheat", "milk"]),
            "crisp wafer flakes (WHEAT, MILK)"
        );
    }

    #[test]
    fn a_word_that_means_another_thing_is_not_taken_for_the_allergen() {
        assert_eq!(marked("buckwheat flour", "en", &["gluten.wheat"]), "buckwheat flour (WHEAT)");
        assert_eq!(marked("coconut milk powder", "en", &["milk"]), "coconut milk powder (MILK)");
        assert_eq!(marked("lait de coco", "fr", &["milk"]), "lait de coco (LAIT)");
        assert_eq!(marked("eggplant", "en", &["egg"]), "eggplant (EGG)");
    }

    #[test]
    fn what_is_not_contained_is_not_marked() {
        assert_eq!(marked("oat milk", "en", &[]), "oat milk");
        assert_eq!(marked("", "en", &["milk"]), " (MILK)");
    }
}
