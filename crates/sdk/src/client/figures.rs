//! Figures that the hub computes.

use chablon_arith::{Demand, Target};
use chablon_model::{Day, Moment, RecipeId, SiteId};

use super::Client;
use crate::Error;
use crate::figures::{Costing, Plan, PriceMove, PriceShock};
use crate::hub::{FigureOf, FiguresOf, ShockOf};

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

    /// What to weigh at a site for several products in one plan, as [`Client::scale`]; what several
    /// of them use is made once.
    ///
    /// # Errors
    /// As [`Client::scale`]; also [`Error::is_not_computable`] where two standards were released on
    /// different revisions of something that both use.
    pub async fn scale_all(
        &self,
        site: &SiteId,
        demands: &[Demand],
        at: Option<Moment>,
    ) -> Result<Plan, Error> {
        let of = FiguresOf { site: site.clone(), demands: demands.to_vec(), at };
        self.reading(|| self.hub.scale_all(&of)).await
    }

    /// What such a plan costs at a site by the prices of a day, and what to order for all of it.
    ///
    /// # Errors
    /// As [`Client::scale_all`].
    pub async fn cost_all(
        &self,
        site: &SiteId,
        demands: &[Demand],
        on: Day,
        at: Option<Moment>,
    ) -> Result<Costing, Error> {
        let of = FiguresOf { site: site.clone(), demands: demands.to_vec(), at };
        self.reading(|| self.hub.cost_all(&of, on)).await
    }

    /// What other prices do to the standard unit cost of every recipe that is in force at a site.
    /// The digits are those of [`Together::shock`](crate::Together::shock) over
    /// [`Replica::everything`](crate::Replica::everything).
    ///
    /// # Errors
    /// [`Error::is_not_found`] for a site, or for an ingredient that nothing in force there uses;
    /// [`Error::is_not_computable`].
    pub async fn shock(
        &self,
        site: &SiteId,
        moved: &PriceMove,
        on: Day,
        at: Option<Moment>,
    ) -> Result<PriceShock, Error> {
        let of = ShockOf { site: site.clone(), moved: moved.clone(), on, at };
        self.reading(|| self.hub.shock(&of)).await
    }
}

fn figure_of(site: &SiteId, recipe: &RecipeId, target: &Target, at: Option<Moment>) -> FigureOf {
    FigureOf { site: site.clone(), recipe: recipe.clone(), target: target.clone(), at }
}
