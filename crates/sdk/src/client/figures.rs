//! Figures that the hub computes.

use chablon_arith::Target;
use chablon_model::{Day, Moment, RecipeId, SiteId};

use super::Client;
use crate::Error;
use crate::figures::{Costing, Plan};
use crate::hub::FigureOf;

impl Client {
    /// What to weigh at a site for a demand, by the standard in force at a moment, now where none
    /// is given. The digits are those that the site's own replica computes.
    ///
    /// # Errors
    /// [`Error::is_not_found`] where nothing is in force; a [precondition](Error::is_precondition)
    /// with [`Reason::Withdrawn`](crate::Reason::Withdrawn) where none is to be made;
    /// [`Error::is_not_computable`].
    pub async fn scale(
        &self,
        site: &SiteId,
        recipe: &RecipeId,
        target: &Target,
        at: Option<Moment>,
    ) -> Result<Plan, Error> {
        let of = figure_of(site, recipe, target, at);
        self.reading(|| self.hub.scale(&of)).await
    }

    /// What a demand costs at a site by the prices of a day.
    ///
    /// # Errors
    /// As [`Client::scale`].
    pub async fn cost(
        &self,
        site: &SiteId,
        recipe: &RecipeId,
        target: &Target,
        on: Day,
        at: Option<Moment>,
    ) -> Result<Costing, Error> {
        let of = figure_of(site, recipe, target, at);
        self.reading(|| self.hub.cost(&of, on)).await
    }
}

fn figure_of(site: &SiteId, recipe: &RecipeId, target: &Target, at: Option<Moment>) -> FigureOf {
    FigureOf { site: site.clone(), recipe: recipe.clone(), target: target.clone(), at }
}
