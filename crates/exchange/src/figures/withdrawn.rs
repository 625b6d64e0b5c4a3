//! What a standard rests on that was taken back since.

use std::collections::BTreeMap;

use chablon_model::{Entry, EntryBody, Moment, RevisionRef, Withdrawal};
use chablon_wire::TakenBack;

/// What a kitchen must be told of revisions that a standard pins and that were withdrawn after they
/// were last released: the pins stay, since what was released is computed as it was released.
pub(super) fn withdrawn_among(
    pinned: &[RevisionRef],
    mut history: Vec<Entry>,
    at: Moment,
) -> Vec<String> {
    history.sort_by_key(|entry| entry.position);
    let mut withdrawn: BTreeMap<&RevisionRef, &Withdrawal> = BTreeMap::new();
    for entry in &history {
        match &entry.body {
            EntryBody::Release(manifest) if manifest.holds_from <= at => {
                withdrawn.retain(|revision, _| !manifest.items.contains(revision));
            }
            EntryBody::Withdrawal(one) if one.holds_from <= at => {
                withdrawn.insert(&one.revision, one);
            }
            _ => {}
        }
    }
    pinned.iter().filter_map(|pin| withdrawn.get(pin)).map(|one| caution(one)).collect()
}

/// What is said of a standard that a withdrawal went back to.
pub(super) fn went_back(because: &TakenBack) -> String {
    let TakenBack { withdrawn, reason, author, .. } = because;
    format!(
        "it is what to go back to: {author} has withdrawn revision {} of `{}`: {reason}",
        withdrawn.number, withdrawn.key
    )
}

fn caution(withdrawal: &Withdrawal) -> String {
    let Withdrawal { revision, reason, author, .. } = withdrawal;
    format!(
        "it uses revision {} of `{}`, which {author} has withdrawn: {reason}; ask before you make \
         it",
        revision.number, revision.key
    )
}
