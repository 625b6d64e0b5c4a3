//! Figures from a book as it is written.

use std::collections::{BTreeMap, BTreeSet};

use chablon_arith::{Demand, Library, Target};
use chablon_declare::Declarer;
use chablon_declare::allergens::{AllergenDeclaration, Unstated};
use chablon_model::{
    Day, Digest, DocumentContent, DocumentKey, DocumentKind, PriceList, RecipeId, Site, SiteId,
};

use super::{Basis, Costing, Kitchen, Known, Plan, PriceChange, PriceMove, PriceShock, SiteShock};
use crate::Error;
use crate::declared::{Balanced, Declared, Declaring};
use crate::error::Kind;
use crate::publish::first_digests;

/// A book as it is written, released or not.
///
/// A figure's basis has the digests that the documents would have in a first release: those of the
/// standards, where the book was released once and is the same still.
#[derive(Clone, Debug)]
pub struct Authored<'a> {
    documents: BTreeMap<DocumentKey, &'a DocumentContent>,
    digests: BTreeMap<DocumentKey, Digest>,
}

impl<'a> Authored<'a> {
    /// A book of these documents; of several with one key the last counts.
    pub fn new(documents: &'a [DocumentContent]) -> Self {
        let documents = documents.iter().map(|content| (content.key(), content)).collect();
        Self { digests: first_digests(&documents), documents }
    }

    /// What to weigh for a demand, with the bowls and scales of a site where one is given.
    ///
    /// # Errors
    /// [`Error::is_not_computable`]; [`Error::is_not_found`] for a site that the book doesn't have.
    pub fn scale(
        &self,
        recipe: &RecipeId,
        target: &Target,
        site: Option<&SiteId>,
    ) -> Result<Plan, Error> {
        self.scale_all(&[Demand::new(recipe.clone(), target.clone())], site)
    }

    /// What to weigh for several products in one plan, in which what several of them use is made
    /// once.
    ///
    /// # Errors
    /// As [`Authored::scale`].
    pub fn scale_all(&self, demands: &[Demand], site: Option<&SiteId>) -> Result<Plan, Error> {
        self.kitchen(demands.iter().map(|one| &one.recipe), site)?.scale(demands)
    }

    /// What a demand costs at a site by the prices of a day.
    ///
    /// # Errors
    /// As [`Authored::scale`].
    pub fn cost(
        &self,
        recipe: &RecipeId,
        target: &Target,
        site: &SiteId,
        on: Day,
    ) -> Result<Costing, Error> {
        self.cost_all(&[Demand::new(recipe.clone(), target.clone())], site, on)
    }

    /// What a plan of several products costs, and what to order for all of it.
    ///
    /// # Errors
    /// As [`Authored::scale`].
    pub fn cost_all(&self, demands: &[Demand], site: &SiteId, on: Day) -> Result<Costing, Error> {
        self.kitchen(demands.iter().map(|one| &one.recipe), Some(site))?.cost(demands, on)
    }

    /// What other prices do to every recipe of the book, at one site or at all.
    ///
    /// # Errors
    /// [`Error::is_not_found`] for a site or an ingredient that the book doesn't have;
    /// [`Error::is_not_computable`].
    pub fn shock(
        &self,
        moved: &PriceMove,
        site: Option<&SiteId>,
        on: Day,
    ) -> Result<PriceShock, Error> {
        self.known_ingredients(moved)?;
        let ids = |kind| self.documents.keys().filter(move |key| key.kind == kind);
        let recipes = ids(DocumentKind::Recipe).filter_map(|key| key.id.as_str().parse().ok());
        let recipes: Vec<RecipeId> = recipes.collect();
        let all = ids(DocumentKind::Site).filter_map(|key| key.id.as_str().parse().ok());
        let sites: Vec<SiteId> = site.map_or_else(|| all.collect(), |site| vec![site.clone()]);
        let (mut shocks, mut digests) = (Vec::new(), BTreeSet::new());
        for site in &sites {
            let kitchen = self.kitchen(&recipes, Some(site))?;
            shocks.push(SiteShock::of(site.clone(), kitchen.shock(moved, on, None)?));
            digests.extend(kitchen.all_digests());
        }
        Ok(PriceShock { on, sites: shocks, basis: Basis::new(digests) })
    }

    fn known_ingredients(&self, moved: &PriceMove) -> Result<(), Error> {
        let PriceMove::To(changes) = moved else { return Ok(()) };
        let unknown = |change: &&PriceChange| {
            !self.documents.contains_key(&DocumentKey::from(&change.ingredient))
        };
        match changes.iter().find(unknown) {
            None => Ok(()),
            Some(PriceChange { ingredient, .. }) => {
                Err(Error::new(Kind::NotFound, format!("there is no ingredient `{ingredient}`")))
            }
        }
    }

    /// What is in a recipe: allergens, content, labels, ingredient lists, control points.
    ///
    /// # Errors
    /// [`Error::is_not_computable`].
    pub fn declare(&self, recipe: &RecipeId, how: &Declaring) -> Result<Declared, Error> {
        self.kitchen([recipe], None)?.declare(recipe, how)
    }

    /// The state of every allergen in a recipe, and why.
    ///
    /// # Errors
    /// [`Error::is_not_computable`].
    pub fn allergens(&self, recipe: &RecipeId) -> Result<Vec<AllergenDeclaration>, Error> {
        self.kitchen([recipe], None)?.allergens(recipe)
    }

    /// What is to be stated of allergens before every recipe can be released, by ingredient: a hub
    /// refuses a release as long as there is anything. Recipes that can't be computed are left out.
    pub fn unstated(&self) -> Vec<Unstated> {
        Declarer::new(&self.library()).unstated()
    }

    /// The balance of a recipe: its parts, ratios, sweetness and water activity.
    ///
    /// # Errors
    /// [`Error::is_not_computable`].
    pub fn balance(&self, recipe: &RecipeId) -> Result<Balanced, Error> {
        self.kitchen([recipe], None)?.balance(recipe)
    }

    fn kitchen<'s>(
        &'s self,
        asked: impl IntoIterator<Item = &'s RecipeId>,
        site: Option<&SiteId>,
    ) -> Result<Kitchen<'s>, Error> {
        let settings = self.documents.values().find_map(|content| match content {
            DocumentContent::Book(settings) => self.known(content, settings),
            _ => None,
        });
        Ok(Kitchen {
            library: self.library(),
            digests: self.closure(asked),
            site: site.map(|site| self.site(site)).transpose()?,
            settings,
            lists: site.map(|site| self.lists(site)).unwrap_or_default(),
            deviations: Vec::new(),
            cautions: Vec::new(),
        })
    }

    fn library(&self) -> Library<'_> {
        let contents = || self.documents.values();
        let ingredients = contents().filter_map(|content| match content {
            DocumentContent::Ingredient(one) => Some(one),
            _ => None,
        });
        let recipes = contents().filter_map(|content| match content {
            DocumentContent::Recipe(one) => Some(one),
            _ => None,
        });
        Library::new(ingredients, recipes)
    }

    /// A value with the digest of the document that it is the content of.
    fn known<'s, T>(&self, content: &DocumentContent, value: &'s T) -> Option<Known<'s, T>> {
        Some(Known { digest: *self.digests.get(&content.key())?, value })
    }

    fn site(&self, site: &SiteId) -> Result<Known<'_, Site>, Error> {
        match self.documents.get(&site.into()) {
            Some(content @ DocumentContent::Site(one)) => self.known(content, one),
            _ => None,
        }
        .ok_or_else(|| self.no_site(site))
    }

    fn no_site(&self, site: &SiteId) -> Error {
        let sites = self.documents.keys().filter(|key| key.kind == DocumentKind::Site);
        let names: Vec<String> = sites.map(|key| format!("`{}`", key.id)).collect();
        let hint = match names.as_slice() {
            [] => "the book has no sites".to_owned(),
            names => format!("the book has {}", names.join(", ")),
        };
        Error::new(Kind::NotFound, format!("there is no site `{site}`; {hint}"))
    }

    /// The group's price lists and the site's own.
    fn lists(&self, site: &SiteId) -> Vec<Known<'_, PriceList>> {
        let lists = self.documents.values().filter_map(|content| match content {
            DocumentContent::Prices(list) => self.known(content, list),
            _ => None,
        });
        lists.filter(|list| list.value.site.as_ref().is_none_or(|owner| owner == site)).collect()
    }

    /// The digests of recipes and of all that they use.
    fn closure<'s>(&self, recipes: impl IntoIterator<Item = &'s RecipeId>) -> BTreeSet<Digest> {
        let mut reached = BTreeSet::new();
        let mut ahead: Vec<DocumentKey> = recipes.into_iter().map(DocumentKey::from).collect();
        while let Some(key) = ahead.pop() {
            if let Some(content) = self.documents.get(&key).filter(|_| reached.insert(key)) {
                ahead.extend(content.uses());
            }
        }
        reached.iter().filter_map(|key| self.digests.get(key).copied()).collect()
    }
}
