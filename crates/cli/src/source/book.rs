//! Figures from a book as it is written.

use std::path::Path;

use chablon_book::AuthoredBook;
use chablon_model::{Day, DocumentContent, Language, RecipeId, Site, SiteId};
use chablon_sdk::declare::allergens::AllergenDeclaration;
use chablon_sdk::declared::{Balanced, Declared, Declaring};
use chablon_sdk::figures::{Authored, Costing, Plan, PriceMove, PriceShock};

use super::{Asked, known_ingredients, known_on_hand, moving};
use crate::book::{Checked, documents};
use crate::failure::Failure;
use crate::nearest;
use crate::text::Names;

/// A book without errors.
#[derive(Debug)]
pub(crate) struct BookSource {
    book: AuthoredBook,
    documents: Vec<DocumentContent>,
}

impl BookSource {
    pub(super) fn open(folder: &Path) -> Result<Self, Failure> {
        let book = Checked::folder(folder)?.sound(folder)?;
        Ok(Self { documents: documents(&book), book })
    }

    pub(super) fn scale(&self, asked: &Asked<'_>) -> Result<Plan, Failure> {
        self.known(asked)?;
        let authored = Authored::new(&self.documents);
        authored.scale_all(asked.demands, asked.site).map_err(|error| Failure::of_figure(&error))
    }

    pub(super) fn cost(&self, asked: &Asked<'_>, on: Day) -> Result<Costing, Failure> {
        self.known(asked)?;
        let site = asked.site.ok_or_else(no_site)?;
        let authored = Authored::new(&self.documents);
        authored.cost_all(asked.demands, site, on).map_err(|error| Failure::of_figure(&error))
    }

    pub(super) fn shock(
        &self,
        moved: &PriceMove,
        site: Option<&SiteId>,
        on: Day,
    ) -> Result<PriceShock, Failure> {
        known_ingredients(moving(moved), self.book.ingredients.iter().map(|one| one.id.as_str()))?;
        self.known_site(site)?;
        let authored = Authored::new(&self.documents);
        authored.shock(moved, site, on).map_err(|error| Failure::of_figure(&error))
    }

    pub(super) fn declare(&self, recipe: &RecipeId, how: &Declaring) -> Result<Declared, Failure> {
        self.known_recipe(recipe)?;
        let known = self.book.ingredients.iter().map(|one| one.id.as_str());
        known_ingredients(&how.emphasised, known)?;
        let authored = Authored::new(&self.documents);
        authored.declare(recipe, how).map_err(|error| Failure::of_figure(&error))
    }

    pub(super) fn allergens(&self, recipe: &RecipeId) -> Result<Vec<AllergenDeclaration>, Failure> {
        let authored = Authored::new(&self.documents);
        authored.allergens(recipe).map_err(|error| Failure::of_figure(&error))
    }

    pub(super) fn balance(&self, recipe: &RecipeId) -> Result<Balanced, Failure> {
        self.known_recipe(recipe)?;
        let authored = Authored::new(&self.documents);
        authored.balance(recipe).map_err(|error| Failure::of_figure(&error))
    }

    pub(super) fn names(&self, site: Option<&SiteId>, language: Option<&Language>) -> Names<'_> {
        let site = site.and_then(|id| self.site(id));
        Names::new(&self.book.settings, site, language, &self.book.ingredients, &self.book.recipes)
    }

    fn site(&self, id: &SiteId) -> Option<&Site> {
        self.book.sites.iter().find(|site| site.id == *id)
    }

    fn known_recipe(&self, recipe: &RecipeId) -> Result<(), Failure> {
        let recipes = self.book.recipes.iter().map(|recipe| recipe.id.as_str());
        if recipes.clone().any(|id| id == recipe.as_str()) {
            return Ok(());
        }
        Err(no_recipe(recipe, recipes))
    }

    /// Refuses names that the book doesn't have, with the nearest that it has.
    fn known(&self, asked: &Asked<'_>) -> Result<(), Failure> {
        asked.demands.iter().try_for_each(|demand| self.known_recipe(&demand.recipe))?;
        known_on_hand(asked.demands, self.book.ingredients.iter().map(|one| one.id.as_str()))?;
        self.known_site(asked.site)
    }

    fn known_site(&self, site: Option<&SiteId>) -> Result<(), Failure> {
        match site.filter(|id| self.site(id).is_none()) {
            None => Ok(()),
            Some(id) => {
                let sites = self.book.sites.iter().map(|site| site.id.as_str());
                Err(Failure::refused(format!("the book has no site `{id}`"))
                    .hint_if(nearest::hint(id.as_str(), sites)))
            }
        }
    }
}

fn no_recipe<'a>(id: &RecipeId, recipes: impl Iterator<Item = &'a str> + Clone) -> Failure {
    Failure::refused(format!("the book has no recipe `{id}`"))
        .hint_if(nearest::hint(id.as_str(), recipes))
}

fn no_site() -> Failure {
    Failure::usage("a cost needs the site whose prices count").hint("name it with --site ID")
}
