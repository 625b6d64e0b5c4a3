//! Figures from what a kitchen has received.

use std::path::Path;

use chablon_model::{Day, DocumentKind, IngredientId, Language, Moment, RecipeId, SiteId};
use chablon_sdk::declared::{Balanced, Declared, Declaring};
use chablon_sdk::figures::{Costing, Plan};
use chablon_sdk::{Error, Replica, Standard};

use super::{Asked, known_ingredients, known_on_hand};
use crate::failure::Failure;
use crate::text::Names;
use crate::{nearest, runtime};

/// A standard in force, as a kitchen's replica holds it.
#[derive(Debug)]
pub(crate) struct ReplicaSource {
    site: SiteId,
    standard: Standard,
}

impl ReplicaSource {
    /// Reads what is in force of a recipe at a moment.
    pub(super) fn open(file: &Path, recipe: &RecipeId, at: Moment) -> Result<Self, Failure> {
        runtime::run(async {
            let opened = Replica::reopen(file).await;
            let replica =
                opened.map_err(|error| Failure::of(&error, "nothing can be read from it"))?;
            let site = replica.site().clone();
            let standard = match replica.standard(recipe, at).await {
                Ok(standard) => Ok(Self { site, standard }),
                Err(error) => Err(unavailable(&replica, recipe, at, &error).await),
            };
            replica.close().await;
            standard
        })
    }

    pub(super) fn scale(&self, asked: &Asked<'_>) -> Result<Plan, Failure> {
        self.its_own(asked)?;
        known_on_hand(asked.target, self.standard.ingredients().keys().map(IngredientId::as_str))?;
        self.standard.scale(asked.target).map_err(|error| Failure::of_figure(&error))
    }

    pub(super) fn cost(&self, asked: &Asked<'_>, on: Day) -> Result<Costing, Failure> {
        self.its_own(asked)?;
        self.standard.cost(asked.target, on).map_err(|error| Failure::of_figure(&error))
    }

    pub(super) fn declare(&self, how: &Declaring) -> Result<Declared, Failure> {
        let known = self.standard.ingredients().keys().map(IngredientId::as_str);
        known_ingredients(&how.emphasised, known)?;
        self.standard.declare(how).map_err(|error| Failure::of_figure(&error))
    }

    pub(super) fn balance(&self) -> Result<Balanced, Failure> {
        self.standard.balance().map_err(|error| Failure::of_figure(&error))
    }

    /// The names; none where the group's settings, which every release of a book has, are not in
    /// force.
    pub(super) fn names(&self, language: Option<&Language>) -> Result<Names<'_>, Failure> {
        let standard = &self.standard;
        let settings = standard.settings().ok_or_else(|| {
            Failure::refused("the group's settings are not in force here, so nothing can be named")
                .hint("release the book again")
        })?;
        let (ingredients, recipes) = (standard.ingredients().values(), standard.recipes().values());
        Ok(Names::new(settings, standard.site(), language, ingredients, recipes))
    }

    /// Refuses another site than the replica's: it has neither its scales nor its prices.
    fn its_own(&self, asked: &Asked<'_>) -> Result<(), Failure> {
        match asked.site.filter(|site| **site != self.site) {
            None => Ok(()),
            Some(other) => Err(Failure::refused(format!(
                "the replica is that of `{}`, so it knows nothing of `{other}`",
                self.site
            ))
            .hint("leave out --site, or name that kitchen's own replica")),
        }
    }
}

/// Why there is no standard, with the nearest recipe that has one.
async fn unavailable(replica: &Replica, recipe: &RecipeId, at: Moment, error: &Error) -> Failure {
    let failure = Failure::of_figure(error);
    if !error.is_not_found() {
        return failure;
    }
    let listed = replica.standards(at).await.unwrap_or_default();
    let recipes = listed.iter().filter(|one| one.document.kind == DocumentKind::Recipe);
    let ids: Vec<&str> = recipes.map(|one| one.document.id.as_str()).collect();
    failure.hint_if(nearest::hint(recipe.as_str(), ids.iter().copied()))
}
