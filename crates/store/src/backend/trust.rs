//! Whether roots and checkpoints may be kept. What they say is never looked at here; what must be
//! compared is given beside the bytes.

use super::check_frozen;
use crate::{Cursor, EntrySignatures, HubError, NewCheckpoint, RootRecord};

/// Whether a root is whole.
///
/// # Errors
/// [`HubError::DigestMismatch`].
pub fn check_root(root: &RootRecord) -> Result<(), HubError> {
    check_frozen(|| format!("version {} of the root", root.version), &root.frozen)
}

/// Whether a root is to be added after those that are stored; false where it is stored already.
///
/// # Errors
/// [`HubError::RootConflict`].
pub fn newer_root(stored: &[RootRecord], given: &RootRecord) -> Result<bool, HubError> {
    let same =
        |one: &RootRecord| (one.version, one.frozen.digest) == (given.version, given.frozen.digest);
    if stored.iter().any(same) {
        return Ok(false);
    }
    let (expected, found) = (stored.last().map_or(1, |last| last.version + 1), given.version);
    if found == expected { Ok(true) } else { Err(HubError::RootConflict { expected, found }) }
}

/// Whether signatures are put beside each entry once.
///
/// # Errors
/// [`HubError::Malformed`].
pub fn check_signed(signed: &[EntrySignatures]) -> Result<(), HubError> {
    let positions: std::collections::BTreeSet<u64> =
        signed.iter().map(|one| one.position).collect();
    if positions.len() == signed.len() {
        Ok(())
    } else {
        Err(HubError::Malformed("an entry is signed twice in one request".to_owned()))
    }
}

/// Whether a checkpoint is to be kept in the place of the one that is: one that reaches further, or
/// as far and is younger. The cursor is the one that was held before.
pub fn newest(
    held: Option<&Cursor>,
    kept_at: Option<chablon_model::Moment>,
    after: &Cursor,
    given: &NewCheckpoint,
) -> bool {
    match held {
        Some(held) if held.position > after.position => false,
        Some(held) if held.position == after.position => {
            kept_at.is_none_or(|kept| given.issued_at >= kept)
        }
        _ => true,
    }
}
