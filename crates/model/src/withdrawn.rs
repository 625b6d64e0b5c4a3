//! What was taken back of what a standard uses.

use std::collections::{BTreeMap, BTreeSet};

use crate::{Entry, EntryBody, Moment, RevisionRef, Withdrawal};

/// The revisions among these that were withdrawn by a moment after they were last released, each
/// with the withdrawal. The entries may come in any order.
pub fn withdrawn_among<'a>(
    entries: &'a [Entry],
    references: &[RevisionRef],
    at: Moment,
) -> BTreeMap<&'a RevisionRef, &'a Withdrawal> {
    let wanted: BTreeSet<&RevisionRef> = references.iter().collect();
    let mut in_order: Vec<&Entry> = entries.iter().collect();
    in_order.sort_by_key(|entry| entry.position);
    let mut withdrawn: BTreeMap<&RevisionRef, &Withdrawal> = BTreeMap::new();
    for entry in in_order {
        match &entry.body {
            EntryBody::Release(manifest) if manifest.holds_from <= at => {
                withdrawn.retain(|revision, _| !manifest.items.contains(revision));
            }
            EntryBody::Withdrawal(one)
                if one.holds_from <= at && wanted.contains(&one.revision) =>
            {
                withdrawn.insert(&one.revision, one);
            }
            _ => {}
        }
    }
    withdrawn
}
