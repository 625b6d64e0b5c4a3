//! Releases and withdrawals.

use std::ops::RangeInclusive;

use chablon_model::{
    DocumentKey, DocumentKind, Manifest, Moment, NextStep, RevisionRef, SiteId, Withdrawal,
};

use super::state::{EntryRow, RevisionRow, State};
use crate::backend::{
    KnownToRelease, KnownToWithdraw, check_compaction, fits_withdrawal, new_revisions, repeated,
};
use crate::{
    Committed, Compaction, EntryKind, FeedState, Frozen, HubError, NewPart, NewRevision,
    ReleaseCommit, Request, StoredRevision, WithdrawalCommit,
};

impl State {
    pub(super) fn release(&mut self, commit: ReleaseCommit) -> Result<Committed, HubError> {
        if let Some(before) = self.repeated(&commit.request)? {
            return Ok(before);
        }
        // Whoever comes second to a draft hears that, and not which of its revisions are there by now.
        let draft = self.released(&commit)?;
        let new = new_revisions(&commit, self.known_to_release(&commit))?;
        self.audit.push(commit.record());
        for revision in new {
            self.store(revision);
        }
        let committed = self.span(commit.parts.len());
        if let Some(part) = commit.parts.first() {
            self.releases.insert(part.manifest.release.clone(), positions(&committed));
        }
        for part in commit.parts {
            self.append(part, commit.at, committed.last_position);
        }
        self.requests.insert(commit.request.id, (commit.request.digest, positions(&committed)));
        if let Some(draft) = draft {
            self.replace(draft);
        }
        Ok(committed)
    }

    pub(super) fn withdraw(&mut self, commit: WithdrawalCommit) -> Result<Committed, HubError> {
        if let Some(before) = self.repeated(&commit.request)? {
            return Ok(before);
        }
        let Withdrawal { revision, next, audience, .. } = &commit.withdrawal;
        fits_withdrawal(&commit.withdrawal, self.known_to_withdraw(&commit))?;
        self.take_back_groups(revision, next);
        self.audit.push(commit.record());
        let committed = self.span(1);
        self.entries.push(EntryRow {
            recorded_at: commit.at,
            kind: EntryKind::Withdrawal,
            commit_last: committed.last_position,
            audience: audience.clone(),
            names: vec![revision.clone()],
            body: commit.body,
        });
        self.requests.insert(commit.request.id, (commit.request.digest, positions(&committed)));
        Ok(committed)
    }

    pub(super) fn repeated(&self, request: &Request) -> Result<Option<Committed>, HubError> {
        if self.steps.contains_key(&request.id) {
            return Err(HubError::RequestIdReused(request.id.clone()));
        }
        let Some((digest, before)) = self.requests.get(&request.id) else { return Ok(None) };
        repeated(request, *digest, self.committed(before.clone())).map(Some)
    }

    pub(super) fn span(&self, entries: usize) -> Committed {
        let position = self.position();
        self.committed(position + 1..=position + entries as u64)
    }

    fn committed(&self, positions: RangeInclusive<u64>) -> Committed {
        let (first_position, last_position) = positions.into_inner();
        Committed { epoch: self.epoch.clone(), first_position, last_position, repeated: false }
    }

    fn known_to_release(&self, commit: &ReleaseCommit) -> KnownToRelease {
        let latest = |key| {
            let digest = self.heads.get(&(key_name(key), key.clone()))?;
            Some((key.clone(), self.revisions.get(digest)?.stored.reference.number))
        };
        let held = |digest| Some((digest, self.revisions.get(&digest)?.stored.reference.clone()));
        let mut releases = commit.parts.iter().map(|part| &part.manifest.release);
        KnownToRelease {
            heads: KnownToRelease::documents(commit).into_iter().filter_map(latest).collect(),
            held: KnownToRelease::digests(commit).into_iter().filter_map(held).collect(),
            release_exists: releases.any(|release| self.releases.contains_key(release)),
        }
    }

    pub(super) fn compact(&mut self, compaction: Compaction) -> Result<FeedState, HubError> {
        check_compaction(&compaction, &self.feed_state())?;
        let new = compaction.passed_over.difference(&self.passed_over).next().is_some();
        if new || compaction.up_to > self.oldest {
            self.audit.push(compaction.record());
        }
        self.oldest = compaction.up_to;
        self.passed_over.extend(compaction.passed_over);
        Ok(self.feed_state())
    }

    /// Whether an entry has these very bytes, where there is a root of trust.
    pub(super) fn was_recorded(&self, body: &Frozen) -> bool {
        let same = |row: &EntryRow| row.body.digest == body.digest;
        !self.roots.is_empty() && self.entries.iter().any(same)
    }

    fn known_to_withdraw(&self, commit: &WithdrawalCommit) -> KnownToWithdraw {
        let Withdrawal { revision, next, .. } = &commit.withdrawal;
        let mut entries = self.entries.iter().filter(|row| row.kind == EntryKind::Release);
        KnownToWithdraw {
            recorded: self.was_recorded(&commit.body),
            released: entries.any(|row| row.names.contains(revision)),
            target_held: match next {
                NextStep::MakeNone => true,
                NextStep::GoBackTo(target) => self
                    .revisions
                    .get(&target.digest)
                    .is_some_and(|row| row.stored.reference == *target),
            },
        }
    }

    fn store(&mut self, revision: &NewRevision) {
        let NewRevision { reference, bytes, visible_to, pins, site_groups } = revision.clone();
        let place = (key_name(&reference.key), reference.key.clone());
        self.heads.insert(place, reference.digest);
        let row = RevisionRow {
            pins: pins.iter().map(|pin| pin.digest).collect(),
            groups: site_groups.unwrap_or_default(),
            stored: StoredRevision { reference, visible_to, bytes },
        };
        self.revisions.insert(row.stored.reference.digest, row);
    }

    fn append(&mut self, part: NewPart, at: Moment, commit_last: u64) {
        let Manifest { audience, items, .. } = part.manifest;
        for item in items.iter().filter(|item| describes_site(item)) {
            self.sites.insert(SiteId::from(&item.key.id), item.digest);
        }
        self.entries.push(EntryRow {
            recorded_at: at,
            kind: EntryKind::Release,
            commit_last,
            audience,
            names: items,
            body: part.body,
        });
    }

    fn take_back_groups(&mut self, withdrawn: &RevisionRef, next: &NextStep) {
        if let NextStep::GoBackTo(target) = next {
            for current in self.sites.values_mut().filter(|digest| **digest == withdrawn.digest) {
                *current = target.digest;
            }
        }
    }
}

pub(super) fn positions(committed: &Committed) -> RangeInclusive<u64> {
    committed.first_position..=committed.last_position
}

fn key_name(key: &DocumentKey) -> &'static str {
    key.kind.as_str()
}

fn describes_site(item: &RevisionRef) -> bool {
    item.key.kind == DocumentKind::Site
}
