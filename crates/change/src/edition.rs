//! One side of a comparison: documents as they stand together.

use std::collections::{BTreeMap, BTreeSet};

use chablon_arith::Library;
use chablon_model::{
    Book, Closure, DocumentContent, DocumentKey, DocumentKind, Ingredient, IngredientId, PriceList,
    PriceListId, Recipe, RecipeId, Site, SiteId, Uses,
};

use crate::Pair;

/// Documents as they stand together: a book as it is written, what is in force, or what is in
/// force with drafts in place of some of it.
///
/// Settings, sites and price lists may be left out; then nothing is said of what they decide.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Edition<'a> {
    pub(crate) settings: Option<&'a Book>,
    pub(crate) ingredients: BTreeMap<&'a IngredientId, &'a Ingredient>,
    pub(crate) recipes: BTreeMap<&'a RecipeId, &'a Recipe>,
    pub(crate) sites: BTreeMap<&'a SiteId, &'a Site>,
    pub(crate) prices: BTreeMap<&'a PriceListId, &'a PriceList>,
}

impl<'a> Edition<'a> {
    /// An edition of these documents; of several with one key the last counts.
    pub fn new(documents: impl IntoIterator<Item = &'a DocumentContent>) -> Self {
        documents.into_iter().fold(Self::default(), Self::with)
    }

    /// The ingredients and recipes that revisions reach along their pins.
    pub fn of_closure(closure: &'a Closure) -> Self {
        Self {
            ingredients: closure.ingredients.iter().collect(),
            recipes: closure.recipes.iter().collect(),
            ..Self::default()
        }
    }

    /// The same with a document added, or put in place of the one with its key.
    #[must_use]
    pub fn with(mut self, document: &'a DocumentContent) -> Self {
        match document {
            DocumentContent::Book(book) => self.settings = Some(book),
            DocumentContent::Ingredient(one) => {
                self.ingredients.insert(&one.id, one);
            }
            DocumentContent::Recipe(recipe) => return self.with_recipe(recipe),
            DocumentContent::Site(site) => {
                self.sites.insert(&site.id, site);
            }
            DocumentContent::Prices(list) => {
                self.prices.insert(&list.id, list);
            }
        }
        self
    }

    /// The same with a recipe added, or put in place of the one with its id.
    #[must_use]
    pub fn with_recipe(mut self, recipe: &'a Recipe) -> Self {
        self.recipes.insert(&recipe.id, recipe);
        self
    }

    /// The same without a document.
    #[must_use]
    pub fn without(mut self, key: &DocumentKey) -> Self {
        let id = &key.id;
        match key.kind {
            DocumentKind::Book => self.settings = None,
            DocumentKind::Ingredient => {
                self.ingredients.remove(&IngredientId::from(id));
            }
            DocumentKind::Recipe => {
                self.recipes.remove(&RecipeId::from(id));
            }
            DocumentKind::Site => {
                self.sites.remove(&SiteId::from(id));
            }
            DocumentKind::Prices => {
                self.prices.remove(&PriceListId::from(id));
            }
        }
        self
    }

    /// The same with one site alone, and with no list of what another pays.
    #[must_use]
    pub fn at_site(mut self, site: &SiteId) -> Self {
        self.sites.retain(|id, _| *id == site);
        self.prices.retain(|_, list| list.site.as_ref().is_none_or(|owner| owner == site));
        self
    }

    /// The recipe of this id.
    pub fn recipe(&self, id: &RecipeId) -> Option<&'a Recipe> {
        self.recipes.get(id).copied()
    }

    /// The ingredients and recipes, as figures are computed from them.
    pub fn library(&self) -> Library<'a> {
        Library::new(self.ingredients.values().copied(), self.recipes.values().copied())
    }

    /// The recipes that no other uses: the finished pieces.
    pub fn finished(&self) -> BTreeSet<&'a RecipeId> {
        let used = self.users();
        self.recipes.keys().copied().filter(|id| !used.contains_key(id)).collect()
    }

    /// The recipes that use each recipe directly.
    pub(crate) fn users(&self) -> BTreeMap<&'a RecipeId, BTreeSet<&'a RecipeId>> {
        let mut users: BTreeMap<&RecipeId, BTreeSet<&RecipeId>> = BTreeMap::new();
        for recipe in self.recipes.values().copied() {
            for line in &recipe.lines {
                if let Uses::Component(used) = &line.uses {
                    users.entry(used).or_default().insert(&recipe.id);
                }
            }
        }
        users
    }

    /// What each ingredient and recipe uses directly.
    pub(crate) fn uses(&self) -> BTreeMap<DocumentKey, BTreeSet<DocumentKey>> {
        let ingredients = self.ingredients.values().map(|one| {
            let parts = one.made_of.iter().map(|part| (&part.ingredient).into());
            ((&one.id).into(), parts.collect())
        });
        let recipes = self.recipes.values().map(|recipe| {
            let lines = recipe.lines.iter().map(|line| key_of(&line.uses));
            ((&recipe.id).into(), lines.collect())
        });
        ingredients.chain(recipes).collect()
    }
}

/// The document that a line takes.
pub(crate) fn key_of(uses: &Uses) -> DocumentKey {
    match uses {
        Uses::Ingredient(id) => id.into(),
        Uses::Component(id) => id.into(),
    }
}

/// The documents of one kind that either side has, by id.
pub(crate) fn both<'a, K: Ord, T>(
    sides: Pair<&BTreeMap<&'a K, &'a T>>,
) -> Vec<(&'a K, Pair<Option<&'a T>>)> {
    let ids: BTreeSet<&K> = sides.before.keys().chain(sides.after.keys()).copied().collect();
    let of = |id| sides.map(|side| side.get(id).copied());
    ids.into_iter().map(|id| (id, of(id))).collect()
}
