//! Ingredients that a title names, whose share a label states (Regulation (EU) No 1169/2011, Article
//! 22(1)(a)).
//!
//! A title names an ingredient where the two have a word in common, in any language in which both
//! are written; singular and plural are one word, and words of form and state (`whole`, `dark`,
//! `frais`) name nothing. A share that a law wouldn't ask for harms nobody; one that is missing
//! does.

use std::collections::BTreeSet;

use chablon_model::{Ingredient, Language, Text};

/// Words that name no ingredient, by language.
const NOTHING: &[(&str, &[&str])] = &[
    (
        "en",
        &[
            "and", "baked", "black", "bread", "brown", "cake", "cold", "cooked", "dark", "dried",
            "extra", "fine", "fresh", "from", "green", "ground", "half", "hot", "large", "light",
            "medium", "natural", "plain", "powder", "raw", "red", "roasted", "small", "soft",
            "strong", "the", "toasted", "water", "white", "whole", "with", "without",
        ],
    ),
    (
        "fr",
        &[
            "aux",
            "avec",
            "blanc",
            "blanche",
            "brun",
            "brune",
            "chaud",
            "chaude",
            "complet",
            "complète",
            "cru",
            "crue",
            "cuit",
            "cuite",
            "demi",
            "des",
            "doux",
            "eau",
            "entier",
            "entière",
            "extra",
            "fin",
            "fine",
            "frais",
            "froid",
            "fraîche",
            "gros",
            "les",
            "moulu",
            "naturel",
            "noir",
            "noire",
            "pain",
            "petit",
            "poudre",
            "pour",
            "rouge",
            "sans",
            "sec",
            "sur",
            "sèche",
            "torréfié",
            "vert",
            "verte",
        ],
    ),
];

/// Whether a title names an ingredient.
pub(crate) fn names(title: &Text, ingredient: &Ingredient) -> bool {
    title.0.iter().any(|(language, title)| {
        let title = words(title, language);
        let texts = [&ingredient.label_name, &ingredient.name].map(|text| text.0.get(language));
        texts.into_iter().flatten().any(|name| !words(name, language).is_disjoint(&title))
    })
}

/// The words that may name an ingredient, in the singular.
fn words(text: &str, language: &Language) -> BTreeSet<String> {
    let nothing = NOTHING.iter().find(|(code, _)| *code == language.as_str());
    let nothing = nothing.map_or(&[][..], |(_, words)| *words);
    let words = text.split(|one: char| !one.is_alphanumeric()).map(str::to_lowercase);
    words
        .filter(|word| word.chars().count() > 2 && !nothing.contains(&word.as_str()))
        .map(|word| singular(&word, language.as_str()))
        .collect()
}

fn singular(word: &str, language: &str) -> String {
    let without = |end: &str| word.strip_suffix(end).map(str::to_owned);
    let plural = match language {
        "en" if word.ends_with("ss") => None,
        "en" => (without("ies").map(|stem| stem + "y"))
            .or_else(|| {
                ["ches", "shes", "xes", "oes"]
                    .iter()
                    .any(|end| word.ends_with(end))
                    .then(|| without("es"))?
            })
            .or_else(|| without("s")),
        "fr" => without("s").or_else(|| without("x")),
        _ => None,
    };
    plural.unwrap_or_else(|| word.to_owned())
}

#[cfg(test)]
mod tests {
    use test_case::test_case;

    use super::*;

    #[test_case("en", "Pear and buckwheat entremet", "Williams pears", true; "a plural")]
    #[test_case("en", "Cherries in syrup", "morello cherry", true; "a plural in ies")]
    #[test_case("en", "Peach tart", "Tinned peaches", true; "a plural in es")]
    #[test_case("en", "Pineapple tart", "apple", false; "a part of a word")]
    #[test_case("en", "Whole wheat loaf", "whole egg", false; "a word of form")]
    #[test_case("en", "Rose water jelly", "Water", false; "water")]
    #[test_case("en", "Cress tart", "cres", false; "a double s is no plural")]
    #[test_case("fr", "Gâteau aux noix", "cerneaux de noix", true; "an x that stays")]
    #[test_case("fr", "Entremets poire et sarrasin", "farine de sarrasin", true; "of something")]
    #[test_case("fr", "Pain au lait entier", "œuf entier", false; "a French word of form")]
    #[test_case("de", "Birnen Schnitte", "Birne", false; "a language of which nothing is known")]
    #[test_case("de", "Honig Schnitte", "Honig", true; "the same word in any language")]
    fn a_title_names_what_it_shares_a_word_with(
        language: &str,
        title: &str,
        name: &str,
        named: bool,
    ) {
        let language: Language = language.parse().expect("a language");
        let shared = words(title, &language).intersection(&words(name, &language)).count() > 0;
        assert_eq!(shared, named);
    }
}
