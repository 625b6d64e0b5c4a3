//! What a newer checkpoint is held to, and what must be told.

use std::fmt;
use std::time::Duration;

use chablon_model::{Checkpoint, Entry, Moment, Root};

use crate::{TrustError, state_digest};

/// How far a hub's clock may be ahead of a kitchen's before it is told: clocks that are set by hand
/// are minutes off.
const CLOCKS_DIFFER: Duration = Duration::from_mins(15);

/// Whether a checkpoint goes on from the one that was kept. In one history the position never goes
/// back; another history isn't older.
pub fn goes_on(kept: &Checkpoint, shown: &Checkpoint) -> Result<(), TrustError> {
    if kept.epoch != shown.epoch {
        let (seen, shown) = (kept.issued_at, shown.issued_at);
        return if shown >= seen { Ok(()) } else { Err(TrustError::OlderHistory { seen, shown }) };
    }
    let (seen, shown) = (kept.position, shown.position);
    if shown >= seen { Ok(()) } else { Err(TrustError::WentBack { seen, shown }) }
}

/// Whether what is in force by the entries is what the checkpoint vouches for. One that covers less
/// than the whole feed says nothing of it; one at its end must.
pub fn in_force_matches(
    checkpoint: &Checkpoint,
    entries: &[Entry],
    at_end: bool,
) -> Result<(), TrustError> {
    let matches = match checkpoint.state {
        Some(state) => state == state_digest(entries, checkpoint.issued_at),
        None => !at_end,
    };
    if matches { Ok(()) } else { Err(TrustError::OtherState { position: checkpoint.position }) }
}

/// When what a kitchen holds was last all that a hub knew: when a hub vouched for all of it, so that a
/// mirror that shows the same for ever grows old. Where nobody vouches, and in the middle of catching
/// up, when the kitchen itself last heard that it had all; none where it never did.
pub fn known_at(vouched: Option<&Checkpoint>, heard_at: Option<Moment>) -> Option<Moment> {
    let whole = vouched.filter(|checkpoint| checkpoint.state.is_some());
    whole.map(|checkpoint| checkpoint.issued_at).or(heard_at)
}

/// What must be told loudly and yet disables nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Notice {
    /// The root is due for its next version.
    RootExpired {
        /// Since when.
        since: Moment,
    },
    /// Nothing younger than an expired checkpoint is known: there may be news that is held back.
    CheckpointExpired {
        /// Since when.
        since: Moment,
    },
    /// The checkpoint comes from ahead of this machine's clock.
    ClockAhead {
        /// By how much.
        by: Duration,
    },
}

impl fmt::Display for Notice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::RootExpired { .. } => {
                "the root of trust has expired; have its next version made, signed and published"
            }
            Self::CheckpointExpired { .. } => {
                "the newest checkpoint of the hub has expired: there may be standards or withdrawals \
                 that this kitchen doesn't know of; sync with the hub, or ask the chef"
            }
            Self::ClockAhead { .. } => {
                "the hub's clock is ahead of this machine's; set the one that is wrong"
            }
        })
    }
}

/// What must be told of a root and the newest checkpoint at a moment.
pub fn notices(root: &Root, checkpoint: Option<&Checkpoint>, now: Moment) -> Vec<Notice> {
    let root = (root.expires_at <= now).then_some(Notice::RootExpired { since: root.expires_at });
    let expired = checkpoint.filter(|one| one.expires_at <= now);
    let expired = expired.map(|one| Notice::CheckpointExpired { since: one.expires_at });
    let ahead = checkpoint.and_then(|one| ahead(one.issued_at, now));
    [root, expired, ahead].into_iter().flatten().collect()
}

fn ahead(issued_at: Moment, now: Moment) -> Option<Notice> {
    let milliseconds = u64::try_from(issued_at.0.saturating_sub(now.0)).ok()?;
    let by = Duration::from_millis(milliseconds);
    (by > CLOCKS_DIFFER).then_some(Notice::ClockAhead { by })
}
