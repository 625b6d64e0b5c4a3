//! How documents are called in a kitchen's language.

use std::collections::BTreeMap;

use chablon_model::{
    Allergen, Book, Ingredient, IngredientId, Language, Recipe, RecipeId, Site, SiteId, Text, Uses,
};
use chablon_sdk::declare::ingredient_list::allergen_name;

use super::tongue::Tongue;

/// The documents that a result speaks of, and the language in which it does.
#[derive(Clone, Debug)]
pub(crate) struct Names<'a> {
    /// The program's own words.
    pub(crate) tongue: Tongue,
    language: Language,
    fallback: Language,
    ingredients: BTreeMap<&'a IngredientId, &'a Ingredient>,
    recipes: BTreeMap<&'a RecipeId, &'a Recipe>,
    site: Option<&'a Site>,
}

impl<'a> Names<'a> {
    /// The names in a language; where none is asked for, in the one that the site reads.
    pub(crate) fn new(
        settings: &Book,
        site: Option<&'a Site>,
        asked: Option<&Language>,
        ingredients: impl IntoIterator<Item = &'a Ingredient>,
        recipes: impl IntoIterator<Item = &'a Recipe>,
    ) -> Self {
        let fallback = settings.fallback_language();
        let its_own = site.and_then(|site| site.language.as_ref());
        let language = asked.or(its_own).unwrap_or(fallback);
        Self {
            tongue: Tongue::of(language),
            language: language.clone(),
            fallback: fallback.clone(),
            ingredients: ingredients.into_iter().map(|one| (&one.id, one)).collect(),
            recipes: recipes.into_iter().map(|one| (&one.id, one)).collect(),
            site,
        }
    }

    /// A text in the language.
    pub(crate) fn text<'t>(&self, text: &'t Text) -> Option<&'t str> {
        text.in_language(&self.language, &self.fallback)
    }

    /// A recipe's title.
    pub(crate) fn recipe<'s>(&'s self, id: &'s RecipeId) -> &'s str {
        let title = self.recipes.get(id).and_then(|recipe| self.text(&recipe.title));
        title.unwrap_or(id.as_str())
    }

    /// What an allergen is called.
    pub(crate) fn allergen(&self, allergen: &Allergen) -> &'static str {
        allergen_name(allergen, &self.language)
    }

    /// An ingredient's name.
    pub(crate) fn ingredient<'s>(&'s self, id: &'s IngredientId) -> &'s str {
        let name = self.ingredients.get(id).and_then(|one| self.text(&one.name));
        name.unwrap_or(id.as_str())
    }

    /// What a line takes.
    pub(crate) fn uses<'s>(&'s self, uses: &'s Uses) -> &'s str {
        match uses {
            Uses::Ingredient(id) => self.ingredient(id),
            Uses::Component(id) => self.recipe(id),
        }
    }

    /// A recipe as it is written.
    pub(crate) fn written(&self, id: &RecipeId) -> Option<&'a Recipe> {
        self.recipes.get(id).copied()
    }

    /// The site that the result is for.
    pub(crate) fn site(&self) -> Option<&'a Site> {
        self.site
    }

    /// What a site is called.
    pub(crate) fn site_name<'s>(&'s self, id: &'s SiteId) -> &'s str {
        self.site.filter(|site| site.id == *id).map_or(id.as_str(), |site| &site.name)
    }
}

/// By which names are put in order: letters count as they sound to the eye, `œ` as `oe`.
pub(super) fn sort_key(name: &str) -> String {
    let plain = |letter: char| match letter {
        'à' | 'á' | 'â' | 'ä' | 'å' => "a",
        'æ' => "ae",
        'ç' => "c",
        'è' | 'é' | 'ê' | 'ë' => "e",
        'ì' | 'í' | 'î' | 'ï' => "i",
        'ñ' => "n",
        'ò' | 'ó' | 'ô' | 'ö' => "o",
        'œ' => "oe",
        'ù' | 'ú' | 'û' | 'ü' => "u",
        _ => "",
    };
    let mut key = String::new();
    for letter in name.to_lowercase().chars() {
        match plain(letter) {
            "" => key.push(letter),
            plain => key.push_str(plain),
        }
    }
    key
}

#[cfg(test)]
mod tests {
    use super::sort_key;

    #[test]
    fn accents_and_ligatures_do_not_move_a_name_to_the_end() {
        let mut names = ["Sucre", "Œuf", "Eau", "Épices", "Orange"];
        names.sort_by_key(|name| sort_key(name));
        assert_eq!(names, ["Eau", "Épices", "Œuf", "Orange", "Sucre"]);
    }
}
