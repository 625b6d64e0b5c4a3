//! Whether a compaction fits what a hub holds.

use crate::{Compaction, FeedState, HubError};

/// Whether a compaction stays within the feed and goes at least as far as the one before.
///
/// # Errors
/// [`HubError::Malformed`].
pub fn check_compaction(compaction: &Compaction, state: &FeedState) -> Result<(), HubError> {
    let Compaction { up_to, passed_over, .. } = compaction;
    let FeedState { position, oldest, .. } = state;
    let malformed = |what: String| Err(HubError::Malformed(what));
    if up_to > position {
        return malformed(format!("the feed ends at {position}, before {up_to}"));
    }
    if up_to < oldest {
        return malformed(format!("the feed was compacted up to {oldest} already"));
    }
    match passed_over.iter().find(|at| !(1..=*up_to).contains(*at)) {
        Some(outside) => malformed(format!("position {outside} is not between 1 and {up_to}")),
        None => Ok(()),
    }
}
