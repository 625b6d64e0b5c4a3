//! What other prices do to everything that is in force at a site.

use std::collections::BTreeSet;
use std::num::NonZeroU32;
use std::sync::Arc;

use chablon_arith::shock::{SiteShock, price_shock};
use chablon_arith::{Library, PriceBook, compile};
use chablon_model::{
    Closure, Day, Digest, DocumentKey, DocumentKind, IngredientId, PriceChange, PriceMove, RecipeId,
};
use chablon_wire::{Standard, StandardState};

use super::gather::{Around, Place};
use super::{FigureError, Founded, ShockQuery};
use crate::{Exchange, blocking};

/// The most recipes of which it is said what prices do.
const MAX_RECIPES: NonZeroU32 = NonZeroU32::new(100_000).unwrap();

impl Exchange {
    /// What other prices do to every recipe in force at a site. Each is computed from what it was
    /// released on, since two may have been released on different revisions of one component.
    pub async fn shock(&self, query: ShockQuery) -> Result<Founded<SiteShock>, FigureError> {
        let ShockQuery { site, moved, on, at } = query;
        let place = self.place(&site, at).await?;
        let around = Arc::new(self.around(&place).await?);
        let mut used: BTreeSet<IngredientId> = BTreeSet::new();
        let (mut parts, mut basis) = (Vec::new(), around.digests());
        let nothing = Closure::default();
        parts.push(around.shock(&nothing, (&moved, on), None)?);
        let moved = Arc::new(moved);
        for recipe in self.recipes(&place).await? {
            let Some(closure) = self.closure_in_force(&place, &recipe).await? else { continue };
            used.extend(closure.ingredients.keys().cloned());
            basis.extend(closure.digests.iter().copied());
            let (around, moved) = (Arc::clone(&around), Arc::clone(&moved));
            let part = blocking(move || around.shock(&closure, (&moved, on), Some(&recipe))).await;
            parts.push(part?);
        }
        self.use_what_moves(&place, &moved, &used).await?;
        let figure = SiteShock::joined(parts).expect("there is a part of nothing");
        Ok(Founded { figure, basis, deviations: Vec::new(), cautions: Vec::new() })
    }

    /// The recipes that the site has ever seen.
    async fn recipes(&self, place: &Place) -> Result<Vec<RecipeId>, FigureError> {
        let kind = Some(DocumentKind::Recipe);
        let heads = self.heads(&place.view, kind, None, MAX_RECIPES).await?;
        Ok(heads.documents.into_iter().map(|head| RecipeId::from(&head.key.id)).collect())
    }

    /// What a recipe's figures are computed from, if it is in force.
    async fn closure_in_force(
        &self,
        place: &Place,
        recipe: &RecipeId,
    ) -> Result<Option<Closure>, FigureError> {
        let document = DocumentKey::from(recipe);
        match self.standing(&place.view, &document, place.at, place.by).await? {
            Some(Standard { state: StandardState::InForce(in_force), .. }) => {
                Ok(Some(self.standard_of(place, recipe, in_force).await?.closure))
            }
            _ => Ok(None),
        }
    }

    /// Refuses a price of something that nothing in force uses.
    async fn use_what_moves(
        &self,
        place: &Place,
        moved: &PriceMove,
        used: &BTreeSet<IngredientId>,
    ) -> Result<(), FigureError> {
        let PriceMove::To(changes) = moved else { return Ok(()) };
        match changes.iter().find(|change| !used.contains(&change.ingredient)) {
            None => Ok(()),
            Some(PriceChange { ingredient, .. }) => {
                let document = DocumentKey::from(ingredient);
                Err(self.nothing_in_force(&place.site, &document, place.at).await?.into())
            }
        }
    }
}

impl Around {
    /// The digests of all that stands around every recipe.
    pub(super) fn digests(&self) -> BTreeSet<Digest> {
        let mut digests: BTreeSet<Digest> = self.lists.iter().map(|list| list.digest).collect();
        digests.insert(self.site.digest);
        digests.extend(self.settings.as_ref().map(|settings| settings.digest));
        digests
    }

    fn shock(
        &self,
        closure: &Closure,
        moved: (&PriceMove, Day),
        only: Option<&RecipeId>,
    ) -> Result<SiteShock, FigureError> {
        let currency = self.settings()?.currency;
        let Closure { ingredients, recipes, .. } = closure;
        let (book, _) = compile(&Library::new(ingredients.values(), recipes.values()));
        let lists = self.lists.iter().map(|list| &list.value);
        let prices = PriceBook::of_site(&self.site.value, currency, lists);
        let shock = price_shock(&book, &prices, moved, only);
        shock.map_err(|error| FigureError::NotComputable { of: None, message: error.to_string() })
    }
}
