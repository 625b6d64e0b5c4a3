//! The list of ingredients as a label prints it.
//!
//! - Descending mass at the mixing bowl, for 100 g finished: a component's ingredients as they were
//!   weighed into its own bowl (Regulation (EU) No 1169/2011, Article 18).
//! - An ingredient that is water and next to nothing else (99.5 g in 100 g) is added water: what is
//!   left of it is 100 g less all else, and up to 5 g needn't be listed (Annex VII, part A, point 1).
//! - A compound ingredient is followed by what it is made of.
//! - What a law counts as an allergen is marked in the text itself, and named beside an ingredient
//!   whose name doesn't hold it (Article 21).
//! - Percentages stand where the caller says that a name, a picture or a claim calls for them: of
//!   what was used in what is finished, in grams where that comes to more than 100 %
//!   (Article 22, Annex VIII, point 3). A [`Declaration`](crate::Declaration) adds what the
//!   recipe's own title names.
//! - An additive stands as its name on labels says it, function before name: `gelling agent:
//!   pectin` (Annex VII, part C).
//! - Ingredients of one name are one entry. What weighs nothing, to taste, comes last.

mod compound;
mod entries;
mod finding;
mod mark;
mod masses;
mod name;
mod text;
pub(crate) mod title;
mod words;

use std::collections::BTreeSet;

use chablon_model::{Allergen, IngredientId, Language, RecipeId};
use chablon_quantity::Exact;

use crate::allergens::views::Law;
use crate::{DeclareError, Declarer, caution};

pub use finding::ListFinding;

/// What a list is for.
#[derive(Clone, Debug)]
pub struct ListOptions {
    /// The language that it is in.
    pub language: Language,
    /// The book's first language, where a name lacks the one above.
    pub fallback: Language,
    /// The law whose allergens are marked.
    pub law: Law,
    /// The ingredients that a name, a picture or a claim calls for.
    pub emphasised: BTreeSet<IngredientId>,
}

/// A list of ingredients.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct IngredientList {
    /// The language asked for.
    pub language: Language,
    /// The entries in their order.
    pub entries: Vec<Entry>,
    /// The allergens of which traces can't be ruled out, as the language names them.
    pub may_contain: Vec<String>,
    /// Grams of added water in 100 g that needn't be listed, where there are any.
    pub water_left_out: Option<Exact>,
    /// What keeps it from being printed as it is.
    pub findings: Vec<ListFinding>,
    /// The words around the entries.
    pub(crate) words: &'static words::Words,
    /// What every list says of itself.
    pub cautions: Vec<&'static str>,
}

/// One entry of a list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// The ingredients of this name, by id.
    pub ingredients: Vec<IngredientId>,
    /// Its name as the book has it.
    pub listed_as: String,
    /// The name with what is marked, and with the allergens that it doesn't hold.
    pub name: Vec<Span>,
    /// Grams for 100 g finished; 0 where it is to taste.
    pub grams: Exact,
    /// How much of it a name, a picture or a claim calls for.
    pub quantity: Option<Quantity>,
    /// What it is made of, each followed by its own constituents.
    pub made_of: Vec<Part>,
}

/// A constituent of a compound ingredient.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// The constituent.
    pub ingredient: IngredientId,
    /// How far down it stands: 1 for what the entry itself is made of.
    pub depth: usize,
    /// Its name, with what is marked.
    pub name: Vec<Span>,
    /// Its part of the whole above it, where declared.
    pub share: Option<Exact>,
}

/// A run of text.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Span {
    /// The text as it is written.
    pub text: String,
    /// Whether it names an allergen and must stand out.
    pub allergen: bool,
}

/// A quantity beside a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Quantity {
    /// Per cent of the finished product.
    Percent(Exact),
    /// Grams used for 100 g of the finished product, where per cent come to more than 100.
    GramsPer100G(Exact),
}

/// What an allergen is called in a language; in English where there are no words for that one.
pub fn allergen_name(allergen: &Allergen, language: &Language) -> &'static str {
    words::of(language).allergen(allergen).shown
}

impl Declarer<'_> {
    /// The list of ingredients of a recipe.
    pub fn ingredient_list(
        &self,
        recipe: &RecipeId,
        options: &ListOptions,
    ) -> Result<IngredientList, DeclareError> {
        let index = self.index(recipe)?;
        let masses = masses::finished(self, self.rolled(index)?);
        let words = words::of(&options.language);
        let builder = entries::Builder { declarer: self, options, words };
        let mut findings = Vec::new();
        if words.language != options.language.as_str() {
            findings.push(ListFinding::NoWords { language: options.language.clone() });
        }
        let states = self.states(recipe)?;
        let unknown = options.law.unknown(states);
        if !unknown.is_empty() {
            findings.push(ListFinding::AllergensUnknown { allergens: unknown });
        }
        let entries = builder.entries(&masses, &mut findings);
        Ok(IngredientList {
            language: options.language.clone(),
            entries,
            may_contain: words.may_contain_names(&options.law.view(states)),
            water_left_out: masses.water_left_out,
            findings,
            words,
            cautions: vec![caution::DECLARED, caution::ALLERGENS],
        })
    }
}
