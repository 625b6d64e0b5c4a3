//! Figures from what a kitchen has received.

use std::path::Path;

use chablon_model::{Day, DocumentKind, IngredientId, Language, Moment, RecipeId, SiteId};
use chablon_sdk::declare::allergens::AllergenDeclaration;
use chablon_sdk::declared::{Balanced, Declared, Declaring};
use chablon_sdk::figures::{Costing, Plan, PriceMove, PriceShock};
use chablon_sdk::{Error, Replica, Standard, Status, Together};

use super::{Asked, known_ingredients, known_on_hand, moving};
use crate::failure::Failure;
use crate::text::Names;
use crate::{nearest, runtime};

/// Standards in force, as a kitchen's replica holds them.
#[derive(Debug)]
pub(crate) struct ReplicaSource {
    site: SiteId,
    /// How it stood just before the standards were read.
    status: Status,
    /// At least one.
    together: Together,
}

impl ReplicaSource {
    /// Reads what is in force of recipes at a moment; at least one is named.
    pub(super) fn open(file: &Path, recipes: &[RecipeId], at: Moment) -> Result<Self, Failure> {
        runtime::run(async {
            let opened = Replica::reopen(file).await;
            let replica =
                opened.map_err(|error| Failure::of(&error, "nothing can be read from it"))?;
            let site = replica.site().clone();
            let status = status(&replica).await?;
            let together = match replica.together(recipes, at).await {
                Ok(together) => Ok(Self { site, status, together }),
                Err(error) => Err(unavailable(&replica, recipes, at, &error).await),
            };
            replica.close().await;
            together
        })
    }

    /// Reads everything that is in force at a moment.
    pub(super) fn whole(file: &Path, at: Moment) -> Result<Self, Failure> {
        runtime::run(async {
            let opened = Replica::reopen(file).await;
            let replica =
                opened.map_err(|error| Failure::of(&error, "nothing can be read from it"))?;
            let site = replica.site().clone();
            let status = status(&replica).await?;
            let together = replica.everything(at).await;
            replica.close().await;
            let together = together.map_err(|error| Failure::of_figure(&error))?;
            if together.standards().is_empty() {
                return Err(Failure::refused(format!("nothing is in force at `{site}` by then")));
            }
            Ok(Self { site, status, together })
        })
    }

    /// How the replica stands.
    pub(super) fn status(&self) -> &Status {
        &self.status
    }

    pub(super) fn shock(
        &self,
        moved: &PriceMove,
        site: Option<&SiteId>,
        on: Day,
    ) -> Result<PriceShock, Failure> {
        self.its_own(site)?;
        known_ingredients(moving(moved), self.ingredients())?;
        self.together.shock(moved, on).map_err(|error| Failure::of_figure(&error))
    }

    /// The ingredients that anything in it uses.
    fn ingredients(&self) -> impl Iterator<Item = &str> + Clone {
        let standards = self.together.standards().iter();
        standards.flat_map(|one| one.ingredients().keys()).map(IngredientId::as_str)
    }

    pub(super) fn scale(&self, asked: &Asked<'_>) -> Result<Plan, Failure> {
        self.its_own(asked.site)?;
        known_on_hand(asked.demands, self.ingredients())?;
        self.together.scale(asked.demands).map_err(|error| Failure::of_figure(&error))
    }

    pub(super) fn cost(&self, asked: &Asked<'_>, on: Day) -> Result<Costing, Failure> {
        self.its_own(asked.site)?;
        self.together.cost(asked.demands, on).map_err(|error| Failure::of_figure(&error))
    }

    pub(super) fn declare(&self, how: &Declaring) -> Result<Declared, Failure> {
        let standard = self.standard();
        let known = standard.ingredients().keys().map(IngredientId::as_str);
        known_ingredients(&how.emphasised, known)?;
        standard.declare(how).map_err(|error| Failure::of_figure(&error))
    }

    pub(super) fn allergens(&self, recipe: &RecipeId) -> Result<Vec<AllergenDeclaration>, Failure> {
        let mut standards = self.together.standards().iter();
        let standard = standards.find(|one| one.recipe().id == *recipe);
        let standard = standard.expect("it was opened for all that is asked for");
        standard.allergens().map_err(|error| Failure::of_figure(&error))
    }

    pub(super) fn balance(&self) -> Result<Balanced, Failure> {
        self.standard().balance().map_err(|error| Failure::of_figure(&error))
    }

    /// The names; none where the group's settings, which every release of a book has, are not in
    /// force.
    pub(super) fn names(&self, language: Option<&Language>) -> Result<Names<'_>, Failure> {
        let standard = self.standard();
        let settings = standard.settings().ok_or_else(|| {
            Failure::refused("the group's settings are not in force here, so nothing can be named")
                .hint("release the book again")
        })?;
        let standards = || self.together.standards().iter();
        let ingredients = standards().flat_map(|one| one.ingredients().values());
        let recipes = standards().flat_map(|one| one.recipes().values());
        Ok(Names::new(settings, standard.site(), language, ingredients, recipes))
    }

    /// The first standard, for what is asked of one alone.
    fn standard(&self) -> &Standard {
        self.together.standards().first().expect("it was opened for at least one recipe")
    }

    /// Refuses another site than the replica's: it has neither its scales nor its prices.
    fn its_own(&self, site: Option<&SiteId>) -> Result<(), Failure> {
        match site.filter(|site| **site != self.site) {
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
async fn unavailable(
    replica: &Replica,
    recipes: &[RecipeId],
    at: Moment,
    error: &Error,
) -> Failure {
    let failure = Failure::of_figure(error);
    if !error.is_not_found() {
        return failure;
    }
    let listed = replica.standards(at).await.unwrap_or_default();
    let listed = listed.iter().filter(|one| one.document.kind == DocumentKind::Recipe);
    let ids: Vec<&str> = listed.map(|one| one.document.id.as_str()).collect();
    let absent = recipes.iter().find(|recipe| !ids.contains(&recipe.as_str()));
    failure.hint_if(absent.and_then(|id| nearest::hint(id.as_str(), ids.iter().copied())))
}

async fn status(replica: &Replica) -> Result<Status, Failure> {
    let status = replica.status().await;
    status.map_err(|error| Failure::of(&error, "nothing can be read from it"))
}
