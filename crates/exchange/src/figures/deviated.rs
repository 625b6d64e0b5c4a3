//! Deviations that lie over a standard.

use std::collections::BTreeMap;

use chablon_change::{AtSite, at_site};
use chablon_model::{
    Closure, Deviation, DeviationStanding, Digest, DocumentKey, Entry, IngredientId, Moment,
    RevisionRef, decided,
};
use chablon_store::FeedEntry;
use chablon_wire::{Standard, StandardState};

use super::FigureError;
use super::gather::Place;
use crate::Exchange;

/// What a standard's figures are computed from, with what the site makes otherwise.
pub(super) struct Deviated {
    pub(super) closure: Closure,
    pub(super) at_site: AtSite,
}

impl Exchange {
    /// Lays the site's deviations over a standard.
    pub(super) async fn deviated(
        &self,
        place: &Place,
        closure: Closure,
        references: &[RevisionRef],
        history: &[FeedEntry],
        said: &[Entry],
    ) -> Result<Deviated, FigureError> {
        let decided = decided(said, place.at);
        let deviations: Vec<Deviation> = decided.values().map(|(_, one)| (*one).clone()).collect();
        let wide = self.with_substitutes(place, &closure, &deviations).await?;
        let at_site = at_site(&wide, references, &place.site, &deviations, place.at);
        let mut closure = if at_site.laid.is_empty() { closure } else { wide };
        closure.recipes.extend(at_site.recipes.clone());
        let bodies: BTreeMap<u64, Digest> =
            history.iter().map(|entry| (entry.position, entry.body.digest)).collect();
        let laid = at_site.laid.iter().filter_map(|laid| decided.get(&laid.id));
        closure.digests.extend(laid.filter_map(|(position, _)| bodies.get(position)));
        Ok(Deviated { closure, at_site })
    }

    /// A closure with what deviations in force take instead: by the revisions in force.
    pub(crate) async fn with_substitutes(
        &self,
        place: &Place,
        closure: &Closure,
        deviations: &[Deviation],
    ) -> Result<Closure, FigureError> {
        let mut wide = closure.clone();
        for ingredient in substitutes(deviations, place.at) {
            if wide.ingredients.contains_key(ingredient) {
                continue;
            }
            let document = DocumentKey::from(ingredient);
            let standing = self.standing(&place.view, &document, place.at, place.by).await?;
            let Some(Standard { state: StandardState::InForce(in_force), .. }) = standing else {
                continue;
            };
            let (its_own, _) = self.closure_of(&in_force.revision).await?;
            its_own.ingredients.into_iter().for_each(|(id, one)| {
                wide.ingredients.entry(id).or_insert(one);
            });
            wide.digests.extend(its_own.digests);
        }
        Ok(wide)
    }
}

/// What deviations take instead that are in force.
fn substitutes(deviations: &[Deviation], at: Moment) -> impl Iterator<Item = &IngredientId> {
    let in_force =
        deviations.iter().filter(move |one| one.standing(at) == DeviationStanding::InForce);
    in_force.flat_map(Deviation::substitutes)
}
