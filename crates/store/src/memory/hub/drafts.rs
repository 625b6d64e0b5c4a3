//! Drafts and the log of changes.

use std::num::NonZeroU32;

use async_trait::async_trait;
use chablon_model::{Draft, DraftId, DraftState};

use super::state::State;
use super::{MemoryHub, lock};
use crate::backend::{after_release, after_step, check_step, step_repeated};
use crate::{AuditEntry, AuditLog, DraftCommit, DraftStore, HubError, ReleaseCommit, StoredDraft};

#[async_trait]
impl DraftStore for MemoryHub {
    async fn take_step(&self, commit: DraftCommit) -> Result<Draft, HubError> {
        check_step(&commit)?;
        lock(&self.state).take_step(&commit)
    }

    async fn draft(&self, id: &DraftId) -> Result<Option<StoredDraft>, HubError> {
        Ok(lock(&self.state).drafts.get(id).cloned())
    }

    async fn drafts(
        &self,
        states: &[DraftState],
        after: Option<&DraftId>,
        limit: NonZeroU32,
    ) -> Result<Vec<Draft>, HubError> {
        let state = lock(&self.state);
        let drafts = state.drafts.values().map(|stored| &stored.draft);
        let asked = drafts.filter(|draft| {
            states.contains(&draft.state) && after.is_none_or(|after| draft.id > *after)
        });
        Ok(asked.take(limit.get() as usize).cloned().collect())
    }
}

#[async_trait]
impl AuditLog for MemoryHub {
    async fn audit(
        &self,
        before: Option<u64>,
        limit: NonZeroU32,
    ) -> Result<Vec<AuditEntry>, HubError> {
        let state = lock(&self.state);
        let numbered = (1u64..).zip(&state.audit);
        let mut asked: Vec<_> = numbered
            .take_while(|(number, _)| before.is_none_or(|before| *number < before))
            .collect();
        asked.reverse();
        asked.truncate(limit.get() as usize);
        let entry = |(number, record): (u64, &crate::AuditRecord)| AuditEntry {
            number,
            record: record.clone(),
        };
        Ok(asked.into_iter().map(entry).collect())
    }
}

impl State {
    fn take_step(&mut self, commit: &DraftCommit) -> Result<Draft, HubError> {
        if self.requests.contains_key(&commit.request.id) {
            return Err(HubError::RequestIdReused(commit.request.id.clone()));
        }
        let before = self.drafts.get(&commit.draft).map(|stored| &stored.draft);
        if let Some(digest) = self.steps.get(&commit.request.id) {
            step_repeated(&commit.request, *digest)?;
            return before.cloned().ok_or_else(|| HubError::UnknownDraft(commit.draft.clone()));
        }
        let draft = after_step(before, commit)?;
        if let Some(content) = commit.step.content() {
            let stored = StoredDraft { draft: draft.clone(), content: content.clone() };
            self.drafts.insert(commit.draft.clone(), stored);
        }
        self.replace(draft.clone());
        self.steps.insert(commit.request.id.clone(), commit.request.digest);
        self.audit.push(commit.record());
        Ok(draft)
    }

    /// The draft that a release puts in force, as it is after it.
    pub(super) fn released(&self, commit: &ReleaseCommit) -> Result<Option<Draft>, HubError> {
        let Some(id) = commit.draft_id() else { return Ok(None) };
        after_release(self.drafts.get(id).map(|stored| &stored.draft), commit).map(Some)
    }

    /// Puts a draft in the place of what it was before.
    pub(super) fn replace(&mut self, draft: Draft) {
        if let Some(stored) = self.drafts.get_mut(&draft.id) {
            stored.draft = draft;
        }
    }
}
