//! Words for allergens, one module a language. A new language is a table.

mod en;
mod fr;

use chablon_model::{Allergen, AllergenState, Language};

use crate::allergens::views::ViewEntry;

/// The words of one language.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Words {
    /// Its code.
    pub(crate) language: &'static str,
    /// What stands before a list.
    pub(crate) ingredients: &'static str,
    /// What stands before traces.
    pub(crate) may_contain: &'static str,
    /// What stands before decimals.
    pub(crate) point: &'static str,
    /// A row for every code of the model, in its order.
    allergens: &'static [AllergenWords],
}

/// The words for one allergen.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct AllergenWords {
    /// Its code.
    code: &'static str,
    /// How it is named.
    pub(super) shown: &'static str,
    /// The words in a name that name it, in lower case.
    pub(super) forms: &'static [&'static str],
    /// Words before such a one that make it mean another thing.
    pub(super) unless_after: &'static [&'static str],
    /// Words behind it that do.
    pub(super) unless_before: &'static [&'static str],
}

const fn row(
    code: &'static str,
    shown: &'static str,
    forms: &'static [&'static str],
) -> AllergenWords {
    AllergenWords { code, shown, forms, unless_after: &[], unless_before: &[] }
}

/// The words of a language, or the English ones.
pub(crate) fn of(language: &Language) -> &'static Words {
    let known = [&en::WORDS, &fr::WORDS];
    known.into_iter().find(|one| one.language == language.as_str()).unwrap_or(&en::WORDS)
}

impl Words {
    pub(super) fn allergen(&self, allergen: &Allergen) -> &'static AllergenWords {
        let row = self.allergens.iter().find(|row| row.code == allergen.code());
        row.expect("a language has words for every code")
    }

    /// The names of what may be contained.
    pub(super) fn may_contain_names(&self, view: &[ViewEntry]) -> Vec<String> {
        let traces = view.iter().filter(|one| one.state == AllergenState::MayContain);
        let words = traces.flat_map(|one| &one.named).map(|one| self.allergen(&one.allergen));
        let mut names: Vec<String> = Vec::new();
        for word in words {
            if !names.iter().any(|known| known == word.shown) {
                names.push(word.shown.to_owned());
            }
        }
        names
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_language_has_a_row_for_every_code_in_order() {
        for words in [&en::WORDS, &fr::WORDS] {
            let codes: Vec<&str> = words.allergens.iter().map(|row| row.code).collect();
            assert_eq!(codes, Allergen::codes(), "{}", words.language);
        }
    }

    #[test]
    fn forms_are_in_lower_case() {
        let rows = [&en::WORDS, &fr::WORDS].into_iter().flat_map(|words| words.allergens);
        for row in rows {
            let all = row.forms.iter().chain(row.unless_after).chain(row.unless_before);
            all.for_each(|form| assert_eq!(*form, form.to_lowercase(), "{}", row.code));
        }
    }
}
