//! Whether a stretch of a view joins what a kitchen holds.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{Digest, DocumentKey, EntryBody, NextStep, RevisionRef};

use crate::{CatchUp, Cursor, FeedEntry, Frozen, NewEntry, NewHeldRevision, ReplicaError};

/// What a store must look up before it takes a stretch of a view.
#[derive(Clone, Debug, Default)]
pub struct Held {
    /// The cursor.
    pub cursor: Option<Cursor>,
    /// The position of the last entry; 0 without any.
    pub last_position: u64,
    /// The digest of the body at each position, from the first given entry on.
    pub bodies: BTreeMap<u64, Digest>,
}

impl Held {
    /// The entries that are to be taken; the others are held already.
    ///
    /// # Errors
    /// [`ReplicaError::OtherView`], [`ReplicaError::Diverged`], [`ReplicaError::Gap`].
    pub fn new_entries<'c>(
        &self,
        catch_up: &'c CatchUp,
    ) -> Result<Vec<&'c NewEntry>, ReplicaError> {
        self.same_view(&catch_up.cursor)?;
        let reached = self.cursor.as_ref().map_or(0, |cursor| cursor.position);
        let (old, new): (Vec<_>, Vec<_>) =
            catch_up.entries.iter().partition(|entry| entry.position <= reached);
        match old.iter().find(|entry| !self.holds(entry)) {
            Some(other) => return Err(ReplicaError::Diverged { position: other.position }),
            None => joins(&new, self.last_position)?,
        }
        Ok(new)
    }

    /// The cursor after a stretch: it never goes back.
    pub fn cursor_after(self, catch_up: &CatchUp) -> Cursor {
        match self.cursor {
            Some(held) if held.position > catch_up.cursor.position => held,
            _ => catch_up.cursor.clone(),
        }
    }

    fn same_view(&self, given: &Cursor) -> Result<(), ReplicaError> {
        match &self.cursor {
            Some(held) if (&held.epoch, held.view) != (&given.epoch, given.view) => {
                let (held, given) = (Box::new(held.clone()), Box::new(given.clone()));
                Err(ReplicaError::OtherView { held, given })
            }
            _ => Ok(()),
        }
    }

    fn holds(&self, entry: &NewEntry) -> bool {
        self.bodies.get(&entry.position) == Some(&entry.body.digest)
    }
}

/// Whether a stretch is whole in itself.
///
/// # Errors
/// [`ReplicaError::Malformed`], [`ReplicaError::DigestMismatch`].
pub fn check_catch_up(catch_up: &CatchUp) -> Result<(), ReplicaError> {
    let positions = catch_up.entries.iter().map(|entry| entry.position);
    let end = catch_up.cursor.position;
    if !positions.clone().is_sorted_by(|a, b| a < b) || positions.clone().any(|at| at == 0) {
        return Err(ReplicaError::Malformed("entries are out of order".to_owned()));
    }
    if positions.max().is_some_and(|last| last > end) {
        return Err(ReplicaError::Malformed(format!("entries lie beyond the cursor at {end}")));
    }
    catch_up.entries.iter().try_for_each(|entry| {
        check_bytes(|| format!("the entry at position {}", entry.position), &entry.body)
    })?;
    let checkpoint = catch_up.checkpoint.as_ref();
    checkpoint.map_or(Ok(()), |one| check_bytes(|| "the checkpoint".to_owned(), &one.frozen))
}

/// Whether a root to trust is what it is said to be.
///
/// # Errors
/// [`ReplicaError::DigestMismatch`].
pub fn check_trusted(version: u32, root: &Frozen) -> Result<(), ReplicaError> {
    check_bytes(|| format!("version {version} of the root"), root)
}

/// Whether a stretch is a whole view: it joins the beginning.
///
/// # Errors
/// [`ReplicaError::Gap`].
pub fn check_whole(catch_up: &CatchUp) -> Result<(), ReplicaError> {
    joins(&catch_up.entries.iter().collect::<Vec<_>>(), 0)
}

/// Whether revisions to keep are what they are said to be.
///
/// # Errors
/// [`ReplicaError::DigestMismatch`].
pub fn check_revisions(revisions: &[NewHeldRevision]) -> Result<(), ReplicaError> {
    revisions.iter().try_for_each(|NewHeldRevision { reference, bytes, .. }| {
        let frozen = Frozen::stated(reference.digest, bytes.clone());
        check_bytes(|| format!("revision {} of `{}`", reference.number, reference.key), &frozen)
    })
}

/// Whether stored entries are whole: each body has its digest and each joins the one before.
///
/// # Errors
/// [`ReplicaError::Damaged`].
pub fn check_stored(entries: &[FeedEntry], cursor: Option<&Cursor>) -> Result<(), ReplicaError> {
    let damaged = |what: String| Err(ReplicaError::Damaged(what));
    let mut last = 0;
    for entry in entries {
        let position = entry.position;
        if !entry.body.holds() {
            return damaged(format!("the body of the entry at position {position} has changed"));
        }
        if entry.previous_position != last {
            return damaged(format!("entries before position {position} are gone"));
        }
        last = position;
    }
    let reached = cursor.map_or(0, |cursor| cursor.position);
    if last > reached {
        return damaged(format!("the cursor stands at {reached}, before the last entry at {last}"));
    }
    Ok(())
}

/// The word for a revision whose bytes are no longer what they were.
pub fn changed_revision(reference: &RevisionRef) -> String {
    format!("the bytes of {} have changed", crate::hub::show(reference))
}

/// The word for a revision that an entry needs and that is gone.
pub fn lost_revision(digest: &Digest) -> String {
    format!("the revision `{digest}`, which an entry needs, is gone")
}

/// The documents that an entry concerns.
pub fn documents(says: &EntryBody) -> BTreeSet<&DocumentKey> {
    match says {
        EntryBody::Release(manifest) => manifest.items.iter().map(|item| &item.key).collect(),
        EntryBody::Withdrawal(withdrawal) => BTreeSet::from([&withdrawal.revision.key]),
        EntryBody::Deviation(deviation) => BTreeSet::from([&deviation.based_on.key]),
    }
}

/// The revisions without which an entry can't be followed: what it releases or goes back to. A
/// deviation needs none: where what it is based on isn't held, nothing is made by it.
///
/// A withdrawn revision is not among them. Where it is held it stays so; where it never came, as
/// with a site that joined later, nothing is made by it.
pub fn needs(says: &EntryBody) -> BTreeSet<Digest> {
    match says {
        EntryBody::Release(manifest) => manifest.items.iter().map(|item| item.digest).collect(),
        EntryBody::Withdrawal(withdrawal) => match &withdrawal.next {
            NextStep::GoBackTo(target) => BTreeSet::from([target.digest]),
            NextStep::MakeNone => BTreeSet::new(),
        },
        EntryBody::Deviation(_) => BTreeSet::new(),
    }
}

fn joins(entries: &[&NewEntry], mut last: u64) -> Result<(), ReplicaError> {
    for NewEntry { position, previous_position, .. } in entries {
        if *previous_position != last {
            let (position, previous) = (*position, *previous_position);
            return Err(ReplicaError::Gap { position, previous, last });
        }
        last = *position;
    }
    Ok(())
}

fn check_bytes(what: impl FnOnce() -> String, frozen: &Frozen) -> Result<(), ReplicaError> {
    if frozen.holds() {
        return Ok(());
    }
    let computed = crate::digest_of(&frozen.bytes);
    Err(ReplicaError::DigestMismatch { what: what(), stated: frozen.digest, computed })
}
