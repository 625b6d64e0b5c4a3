//! Deviations: asking, deciding, listing.

use chablon_model::{Deviation, DeviationId, Moment, SiteId, View};
use chablon_wire::StandardState;
use futures::TryStreamExt;
use futures::stream::BoxStream;

use super::Client;
use crate::deviations::{DecisionDraft, SiteStandards, Submitted, frozen};
use crate::error::Kind;
use crate::{Error, Reason, Recorded, retry};

impl Client {
    /// Asks for a deviation. Its id names it: asked again in the same words, it is asked once.
    ///
    /// # Errors
    /// [`Error::is_invalid`] where it doesn't fit what it departs from. [`Error::is_conflict`]
    /// where its id was used for another. [`Error::outcome_unknown`] where it may have been taken:
    /// ask the same again.
    pub async fn ask_deviation(&self, deviation: &Deviation) -> Result<(), Error> {
        let frozen = frozen(deviation)?;
        retry::changing(&self.options, || self.hub.ask_deviation(&frozen)).await
    }

    /// Sends a decision.
    ///
    /// # Errors
    /// [`Error::is_conflict`] where somebody else decided meanwhile: look at it again. A
    /// [precondition](Error::is_precondition) with [`Reason::DeviationObjected`] where the grant
    /// doesn't acknowledge what comes. [`Error::outcome_unknown`] where it may have been recorded:
    /// send the same draft again.
    pub async fn decide_deviation(&self, draft: &DecisionDraft) -> Result<Recorded, Error> {
        let request = draft.to_request();
        retry::changing(&self.options, || self.hub.decide_deviation(&request)).await
    }

    /// The deviations that a site asked for, or all, by id.
    pub fn deviations(
        &self,
        site: Option<&SiteId>,
    ) -> BoxStream<'static, Result<Submitted, Error>> {
        let site = site.cloned();
        self.paged(move |client, page| {
            let site = site.clone();
            async move { client.reading(|| client.hub.deviations(site.as_ref(), &page)).await }
        })
    }

    /// One deviation.
    ///
    /// # Errors
    /// [`Error::is_not_found`].
    pub async fn deviation(&self, id: &DeviationId) -> Result<Submitted, Error> {
        let mut all = self.deviations(None);
        while let Some(one) = all.try_next().await? {
            if one.asked.id == *id {
                return Ok(one);
            }
        }
        let message = format!("nobody asked for a deviation `{id}`; correct its name");
        Err(Error::new(Kind::NotFound, message).with_reason(Some(Reason::DeviationNotFound)))
    }

    /// All that is in force at a site at a moment: what a deviation is judged by.
    pub async fn site_standards(&self, site: &SiteId, at: Moment) -> Result<SiteStandards, Error> {
        let listed: Vec<_> = self.standards(site, None, Some(at)).try_collect().await?;
        let in_force = listed.into_iter().filter_map(|one| match one.state {
            StandardState::InForce(in_force) => Some(in_force.revision.digest),
            StandardState::Stopped(_) => None,
        });
        let mut revisions = self.revisions(&View::Site(site.clone()), in_force);
        let mut read = Vec::new();
        while let Some(frozen) = revisions.try_next().await? {
            read.push((frozen.reference().clone(), frozen.read()?));
        }
        Ok(SiteStandards::of(read))
    }
}
