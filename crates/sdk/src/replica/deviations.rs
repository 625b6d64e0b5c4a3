//! What a kitchen makes otherwise.

use std::collections::BTreeMap;

use chablon_change::{AtSite, at_site};
use chablon_model::{
    Closure, Deviation, DeviationStanding, Digest, DocumentKey, Entry, Moment, RevisionRef,
    Standing, decided, in_force, standings,
};
use chablon_store::FeedEntry;

use super::Replica;
use crate::Error;
use crate::deviations::SiteStandards;

impl Replica {
    /// The site's deviations that were decided by a moment, by id, each as the last decision by
    /// then has it. [`Deviation::standing`] says what each comes to.
    pub async fn deviations(&self, at: Moment) -> Result<Vec<Deviation>, Error> {
        let entries = self.entries().await?;
        Ok(decided(&entries, at).into_values().map(|(_, one)| one.clone()).collect())
    }

    /// All that is in force at the site at a moment: what a deviation is judged by.
    pub async fn site_standards(&self, at: Moment) -> Result<SiteStandards, Error> {
        let entries = self.entries().await?;
        let standings = standings(&entries, at);
        let wanted: Vec<RevisionRef> = standings.values().filter_map(revision).collect();
        Ok(SiteStandards::of(self.read_all(&wanted).await?))
    }

    /// A standard with the deviations that lie over it.
    pub(super) async fn deviated(
        &self,
        closure: Closure,
        references: &[RevisionRef],
        stored: &[FeedEntry],
        at: Moment,
    ) -> Result<(Closure, AtSite), Error> {
        let entries = self.read(stored)?;
        let decided = decided(&entries, at);
        let deviations: Vec<Deviation> = decided.values().map(|(_, one)| (*one).clone()).collect();
        let wide = self.with_substitutes(&closure, &entries, &deviations, at).await?;
        let at_site = at_site(&wide, references, self.site(), &deviations, at);
        let mut closure = if at_site.laid.is_empty() { closure } else { wide };
        closure.recipes.extend(at_site.recipes.clone());
        let bodies: BTreeMap<u64, Digest> =
            stored.iter().map(|entry| (entry.position, entry.body.digest)).collect();
        let laid = at_site.laid.iter().filter_map(|laid| decided.get(&laid.id));
        closure.digests.extend(laid.filter_map(|(position, _)| bodies.get(position)));
        Ok((closure, at_site))
    }

    /// A closure with what deviations in force take instead: by the revisions in force.
    async fn with_substitutes(
        &self,
        closure: &Closure,
        entries: &[Entry],
        deviations: &[Deviation],
        at: Moment,
    ) -> Result<Closure, Error> {
        let mut wide = closure.clone();
        let holding =
            deviations.iter().filter(|one| one.standing(at) == DeviationStanding::InForce);
        for ingredient in holding.flat_map(Deviation::substitutes) {
            if wide.ingredients.contains_key(ingredient) {
                continue;
            }
            let standing = in_force(entries, &DocumentKey::from(ingredient), at);
            let Some(revision) = revision(&standing) else { continue };
            let (its_own, _) = self.closure(&revision).await?;
            its_own.ingredients.into_iter().for_each(|(id, one)| {
                wide.ingredients.entry(id).or_insert(one);
            });
            wide.digests.extend(its_own.digests);
        }
        Ok(wide)
    }
}

fn revision(standing: &Standing<'_>) -> Option<RevisionRef> {
    match standing {
        Standing::InForce { revision, .. } => Some((*revision).clone()),
        Standing::None | Standing::Stopped { .. } => None,
    }
}
