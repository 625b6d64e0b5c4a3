//! Several standards of one kitchen in one plan.

use std::collections::BTreeSet;

use chablon_arith::{self as arith, Demand, Library};
use chablon_model::{Day, DocumentKind, Moment, RecipeId, agree};
use chablon_wire::StandardState;

use super::{Replica, Standard};
use crate::Error;
use crate::error::Kind;
use crate::figures::{
    Basis, Costing, Kitchen, Plan, PriceChange, PriceMove, PriceShock, SiteShock,
};

/// Standards in force at one site at one moment, to be planned as one: what several of them use is
/// made once.
#[derive(Clone, Debug)]
pub struct Together {
    standards: Vec<Standard>,
}

impl Together {
    /// The standards, in the order in which they were asked for.
    pub fn standards(&self) -> &[Standard] {
        &self.standards
    }

    /// What to weigh for all demands, with the site's bowls and scales.
    ///
    /// # Errors
    /// As [`Standard::scale`]; also [`Error::is_not_computable`] where two standards were released
    /// on different revisions of something that both use.
    pub fn scale(&self, demands: &[Demand]) -> Result<Plan, Error> {
        self.kitchen()?.scale(demands)
    }

    /// What all demands cost at the site by the prices of a day, and what to order for them.
    ///
    /// # Errors
    /// As [`Together::scale`].
    pub fn cost(&self, demands: &[Demand], on: Day) -> Result<Costing, Error> {
        self.kitchen()?.cost(demands, on)
    }

    /// What other prices do at the site to each of the standards.
    ///
    /// # Errors
    /// [`Error::is_not_found`] for an ingredient that none of them uses; as [`Standard::cost`].
    pub fn shock(&self, moved: &PriceMove, on: Day) -> Result<PriceShock, Error> {
        self.use_what_moves(moved)?;
        let (mut parts, mut digests) = (Vec::new(), BTreeSet::new());
        for standard in &self.standards {
            let kitchen = standard.kitchen()?;
            parts.push(kitchen.shock(moved, on, Some(&standard.recipe().id))?);
            digests.extend(kitchen.all_digests());
        }
        let site = self.standards.first().and_then(Standard::site).map(|site| site.id.clone());
        let joined = site.zip(arith::shock::SiteShock::joined(parts));
        let sites = joined.map(|(site, shock)| SiteShock::of(site, shock)).into_iter().collect();
        Ok(PriceShock { on, sites, basis: Basis::new(digests) })
    }

    fn use_what_moves(&self, moved: &PriceMove) -> Result<(), Error> {
        let PriceMove::To(changes) = moved else { return Ok(()) };
        let is_used = |id| self.standards.iter().any(|one| one.ingredients().contains_key(id));
        match changes.iter().find(|change| !is_used(&change.ingredient)) {
            None => Ok(()),
            Some(PriceChange { ingredient, .. }) => {
                let message = format!("nothing in force here uses an ingredient `{ingredient}`");
                Err(Error::new(Kind::NotFound, message))
            }
        }
    }

    /// What the standards' figures are computed from, as one.
    fn kitchen(&self) -> Result<Kitchen<'_>, Error> {
        let (first, others) = self.standards.split_first().ok_or_else(nothing_asked)?;
        let closures = self.standards.iter().map(|one| (&one.recipe().id, &one.closure));
        let agreed = agree(&closures.collect::<Vec<_>>());
        agreed.map_err(|apart| Error::new(Kind::NotComputable, apart.to_string()))?;
        let mut kitchen = first.kitchen()?;
        for other in others {
            kitchen.digests.extend(other.kitchen()?.digests);
            let new = other.cautions().iter().filter(|one| !kitchen.cautions.contains(one));
            let new: Vec<_> = new.cloned().collect();
            kitchen.cautions.extend(new);
            let new = other.deviations().iter().filter(|one| !kitchen.deviations.contains(one));
            let new: Vec<_> = new.cloned().collect();
            kitchen.deviations.extend(new);
        }
        let ingredients = self.standards.iter().flat_map(|one| one.ingredients().values());
        let recipes = self.standards.iter().flat_map(|one| one.recipes().values());
        kitchen.library = Library::new(ingredients, recipes);
        Ok(kitchen)
    }
}

fn nothing_asked() -> Error {
    Error::new(Kind::NotComputable, "no recipe is asked for; ask for at least one")
}

impl Replica {
    /// What is in force of several recipes at a moment, to be planned as one. The hub need not be
    /// there.
    ///
    /// # Errors
    /// As [`Replica::standard`], for the first of the recipes that has none.
    pub async fn together(&self, recipes: &[RecipeId], at: Moment) -> Result<Together, Error> {
        let mut standards: Vec<Standard> = Vec::with_capacity(recipes.len());
        for recipe in recipes {
            if standards.iter().all(|known| known.recipe().id != *recipe) {
                standards.push(self.standard(recipe, at).await?);
            }
        }
        Ok(Together { standards })
    }

    /// Every recipe that is in force at a moment. The hub need not be there.
    ///
    /// # Errors
    /// As [`Replica::standard`].
    pub async fn everything(&self, at: Moment) -> Result<Together, Error> {
        let listed = self.standards(at).await?.into_iter();
        let in_force = listed.filter(|one| matches!(one.state, StandardState::InForce(_)));
        let recipes = in_force.filter(|one| one.document.kind == DocumentKind::Recipe);
        let recipes = recipes.filter_map(|one| one.document.id.as_str().parse().ok());
        let recipes: Vec<RecipeId> = recipes.collect();
        self.together(&recipes, at).await
    }
}
