//! Deviations.

use std::num::NonZeroU32;

use chablon_model::{Audience, Deviation, DeviationId, DocumentKey, Moment, SiteId};

use super::state::{EntryRow, State};
use super::write::positions;
use crate::backend::{KnownToDecide, asked_again, fits_decision};
use crate::{
    AskCommit, Committed, DecisionCommit, EntryKind, FeedEntry, Frozen, HubError, StoredDeviation,
};

/// What was asked, and where the last decision stands.
#[derive(Debug)]
pub(super) struct DeviationRow {
    site: SiteId,
    recipe: DocumentKey,
    asked_at: Moment,
    asked: Frozen,
    decided: Option<u64>,
}

impl State {
    pub(super) fn ask_deviation(&mut self, commit: &AskCommit) -> Result<(), HubError> {
        let AskCommit { at, deviation, body, .. } = commit;
        if let Some(before) = self.deviations.get(&deviation.id) {
            return asked_again(commit, before.asked.digest);
        }
        let Deviation { id, site, based_on, .. } = deviation;
        if !self.sites.contains_key(site) {
            return Err(HubError::UnknownSite(site.clone()));
        }
        let held = self.revisions.get(&based_on.digest);
        if held.is_none_or(|row| row.stored.reference != *based_on) {
            return Err(HubError::MissingRevision(Box::new(based_on.clone())));
        }
        let row = DeviationRow {
            site: site.clone(),
            recipe: based_on.key.clone(),
            asked_at: *at,
            asked: body.clone(),
            decided: None,
        };
        self.deviations.insert(id.clone(), row);
        self.audit.push(commit.record());
        Ok(())
    }

    pub(super) fn decide_deviation(
        &mut self,
        commit: DecisionCommit,
    ) -> Result<Committed, HubError> {
        if let Some(before) = self.repeated(&commit.request)? {
            return Ok(before);
        }
        let id = commit.deviation.id.clone();
        fits_decision(&commit, self.known_to_decide(&id, &commit.body))?;
        self.audit.push(commit.record());
        let committed = self.span(1);
        self.entries.push(EntryRow {
            recorded_at: commit.at,
            kind: EntryKind::Deviation,
            commit_last: committed.last_position,
            audience: Audience::site(commit.deviation.site),
            names: vec![commit.deviation.based_on],
            body: commit.body,
        });
        if let Some(row) = self.deviations.get_mut(&id) {
            row.decided = Some(committed.first_position);
        }
        self.requests.insert(commit.request.id, (commit.request.digest, positions(&committed)));
        Ok(committed)
    }

    pub(super) fn deviation(&self, id: &DeviationId) -> Option<StoredDeviation> {
        self.deviations.get(id).map(|row| self.stored_deviation(id, row))
    }

    pub(super) fn deviations(
        &self,
        site: Option<&SiteId>,
        after: Option<&DeviationId>,
        limit: NonZeroU32,
    ) -> Vec<StoredDeviation> {
        self.deviations
            .iter()
            .filter(|(id, _)| after.is_none_or(|after| *id > after))
            .filter(|(_, row)| site.is_none_or(|site| row.site == *site))
            .take(limit.get() as usize)
            .map(|(id, row)| self.stored_deviation(id, row))
            .collect()
    }

    fn known_to_decide(&self, id: &DeviationId, body: &Frozen) -> Option<KnownToDecide> {
        let row = self.deviations.get(id)?;
        Some(KnownToDecide {
            site: row.site.clone(),
            recipe: row.recipe.clone(),
            latest: self.stored_deviation(id, row).latest(),
            recorded: self.was_recorded(body),
        })
    }

    fn stored_deviation(&self, id: &DeviationId, row: &DeviationRow) -> StoredDeviation {
        let decided = row.decided.and_then(|position| {
            let EntryRow { recorded_at, kind, body, .. } = self.entry(position)?;
            let (recorded_at, kind, body) = (*recorded_at, *kind, body.clone());
            Some(FeedEntry { position, previous_position: 0, recorded_at, kind, body })
        });
        StoredDeviation {
            id: id.clone(),
            site: row.site.clone(),
            asked_at: row.asked_at,
            asked: row.asked.clone(),
            decided,
        }
    }
}
