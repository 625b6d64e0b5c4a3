//! Notes on lots.

use std::num::NonZeroU32;

use super::state::State;
use crate::{HubError, LotCommit, LotFilter, Request, StoredLotNote};

impl State {
    pub(super) fn note_lot(&mut self, commit: LotCommit) -> Result<u64, HubError> {
        let request = &commit.request;
        if let Some((before, kept)) = self.lots.iter().find(|(one, _)| one.id == request.id) {
            return same(request, before).map(|()| kept.number);
        }
        if !self.sites.contains_key(&commit.note.site) {
            return Err(HubError::UnknownSite(commit.note.site));
        }
        self.audit.push(commit.record());
        let LotCommit { request, at, note, .. } = commit;
        let number = self.lots.len() as u64 + 1;
        self.lots.push((request, StoredLotNote { number, recorded_at: at, note }));
        Ok(number)
    }

    pub(super) fn lot_notes(
        &self,
        filter: &LotFilter,
        after: u64,
        limit: NonZeroU32,
    ) -> Vec<StoredLotNote> {
        let kept = self.lots.iter().map(|(_, kept)| kept);
        let asked = kept.filter(|kept| kept.number > after && filter.takes(&kept.note));
        asked.take(limit.get() as usize).cloned().collect()
    }
}

fn same(request: &Request, before: &Request) -> Result<(), HubError> {
    if request == before { Ok(()) } else { Err(HubError::RequestIdReused(request.id.clone())) }
}
