//! Changes.

use std::collections::BTreeMap;

use chablon_model::{Digest, Moment};

use super::state::{EntryRow, RevisionRow, State};
use crate::backend::{Held, Spoken, carried_over, documents, needs, newest};
use crate::{
    CatchUp, EntryKind, FeedEntry, Frozen, HeldRevision, Identity, NewCheckpoint, NewEntry,
    NewHeldRevision, ReplicaError, Said, Trust,
};

impl State {
    pub(super) fn enrol(&mut self, identity: Identity) -> Result<(), ReplicaError> {
        match &self.identity {
            Some(own) if own.site != identity.site => Err(ReplicaError::EnrolledElsewhere {
                site: own.site.clone(),
                asked: identity.site,
            }),
            Some(_) => Ok(()),
            None => {
                self.identity = Some(identity);
                Ok(())
            }
        }
    }

    pub(super) fn caught_up(&mut self, at: Moment) -> Result<(), ReplicaError> {
        self.enrolled()?;
        self.last_contact = self.last_contact.max(Some(at));
        Ok(())
    }

    pub(super) fn put_revisions(&mut self, revisions: Vec<NewHeldRevision>) {
        for NewHeldRevision { reference, bytes, pins } in revisions {
            let pins = pins.iter().map(|pin| pin.digest).collect();
            let (digest, held) = (reference.digest, HeldRevision { reference, bytes });
            self.revisions.entry(digest).or_insert(RevisionRow { held, pins });
        }
    }

    pub(super) fn apply(&mut self, catch_up: &CatchUp) -> Result<(), ReplicaError> {
        self.enrolled()?;
        let held = Held {
            cursor: self.cursor.clone(),
            last_position: self.entries.keys().last().copied().unwrap_or_default(),
            bodies: self.bodies(),
        };
        let new = held.new_entries(catch_up)?;
        self.all_held(&new)?;
        let mut bodies = self.bodies();
        bodies.extend(new.iter().map(|entry| (entry.position, entry.body.digest)));
        let spoken = about(&catch_up.said, &bodies)?;
        self.insert(new);
        self.speak(spoken);
        self.vouched(catch_up);
        self.cursor = Some(held.cursor_after(catch_up));
        Ok(())
    }

    pub(super) fn replace(&mut self, whole: &CatchUp) -> Result<(), ReplicaError> {
        self.enrolled()?;
        let new: Vec<&NewEntry> = whole.entries.iter().collect();
        self.all_held(&new)?;
        let bodies = new.iter().map(|entry| (entry.position, entry.body.digest)).collect();
        let spoken = about(&whole.said, &bodies)?;
        let before: Vec<Spoken> = std::mem::take(&mut self.spoken).into_values().collect();
        let same_epoch = self.cursor.as_ref().is_some_and(|old| old.epoch == whole.cursor.epoch);
        self.entries.clear();
        self.insert(new);
        self.speak(carried_over(&before, whole, same_epoch));
        self.speak(spoken);
        self.keep(whole.checkpoint.as_ref());
        self.cursor = Some(whole.cursor.clone());
        Ok(())
    }

    pub(super) fn say(&mut self, said: Said) -> Result<(), ReplicaError> {
        let spoken = about(&[said], &self.bodies())?;
        self.speak(spoken);
        Ok(())
    }

    pub(super) fn outbox_sent(&mut self, ids: &[u64]) {
        for id in ids {
            if let Some(spoken) = self.spoken.get_mut(id) {
                spoken.sent = true;
            }
        }
    }

    pub(super) fn trust_root(&mut self, version: u32, root: Frozen) -> Result<(), ReplicaError> {
        self.enrolled()?;
        if self.trust.as_ref().is_none_or(|trust| trust.version < version) {
            let checkpoint = self.trust.take().and_then(|trust| trust.checkpoint);
            self.trust = Some(Trust { version, root, checkpoint });
        }
        Ok(())
    }

    /// Keeps the checkpoint of a stretch, if it is the newest.
    fn vouched(&mut self, catch_up: &CatchUp) {
        let (held, kept_at) = (self.cursor.as_ref(), self.checkpoint_at);
        let is_newest = |given: &&NewCheckpoint| newest(held, kept_at, &catch_up.cursor, given);
        if let Some(given) = catch_up.checkpoint.as_ref().filter(is_newest).cloned() {
            self.keep(Some(&given));
        }
    }

    fn keep(&mut self, given: Option<&NewCheckpoint>) {
        if let (Some(given), Some(trust)) = (given, &mut self.trust) {
            trust.checkpoint = Some(given.frozen.clone());
            self.checkpoint_at = Some(given.issued_at);
        }
    }

    fn enrolled(&self) -> Result<(), ReplicaError> {
        self.identity.as_ref().map(|_| ()).ok_or(ReplicaError::NotEnrolled)
    }

    fn bodies(&self) -> BTreeMap<u64, Digest> {
        self.entries.iter().map(|(position, row)| (*position, row.entry.body.digest)).collect()
    }

    fn all_held(&self, new: &[&NewEntry]) -> Result<(), ReplicaError> {
        match self.missing(new.iter().flat_map(|entry| needs(&entry.says))) {
            missing if missing.is_empty() => Ok(()),
            missing => Err(ReplicaError::Missing(missing)),
        }
    }

    fn insert(&mut self, new: Vec<&NewEntry>) {
        for NewEntry { position, previous_position, recorded_at, says, body } in new {
            let entry = FeedEntry {
                position: *position,
                previous_position: *previous_position,
                recorded_at: *recorded_at,
                kind: EntryKind::of(says),
                body: body.clone(),
            };
            let documents = documents(says).into_iter().cloned().collect();
            self.entries.insert(*position, EntryRow { entry, documents, needs: needs(says) });
        }
    }

    fn speak(&mut self, spoken: Vec<Spoken>) {
        for new in spoken {
            let key = |spoken: &Spoken| (spoken.said.position, spoken.said.statement);
            self.spoken.retain(|_, old| key(old) != key(&new) || !new.said.renews(&old.said));
            if self.spoken.values().all(|old| key(old) != key(&new)) {
                self.last_id += 1;
                self.spoken.insert(self.last_id, new);
            }
        }
    }
}

/// Statements with the bodies that they are about.
fn about(said: &[Said], bodies: &BTreeMap<u64, Digest>) -> Result<Vec<Spoken>, ReplicaError> {
    let spoken = |said: &Said| match bodies.get(&said.position) {
        Some(body_digest) => {
            Ok(Spoken { said: said.clone(), body_digest: *body_digest, sent: false })
        }
        None => Err(ReplicaError::UnknownEntry { position: said.position }),
    };
    said.iter().map(spoken).collect()
}
