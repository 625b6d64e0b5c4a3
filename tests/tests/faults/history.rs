//! What everybody saw, in the order in which they saw it.

use std::collections::{BTreeMap, BTreeSet};
use std::time::Duration;

use chablon_sdk::model::{Audience, Digest, EntryBody, GroupId, SiteId};
use chablon_sdk::{Change, Changes};

/// An entry of the feed as somebody saw it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Seen {
    pub(crate) position: u64,
    pub(crate) previous: u64,
    pub(crate) digest: Digest,
}

impl From<&Change> for Seen {
    fn from(change: &Change) -> Self {
        let Change { position, previous_position: previous, digest, .. } = *change;
        Self { position, previous, digest }
    }
}

/// A release, a withdrawal or a decision that a hub acknowledged. Times count from the beginning of the run.
#[derive(Clone, Debug)]
pub(crate) struct Acknowledged {
    pub(crate) note: String,
    pub(crate) position: u64,
    /// When it was first sent.
    pub(crate) began: Duration,
    /// When the answer came.
    pub(crate) ended: Duration,
}

/// An entry of the whole feed at the end.
#[derive(Clone, Debug)]
pub(crate) struct Recorded {
    pub(crate) seen: Seen,
    /// The release of which it is a part; of anything else itself.
    pub(crate) made: String,
    /// What its author said of it, which nobody says twice.
    pub(crate) note: String,
    pub(crate) audience: Audience,
    /// The revision that it withdraws.
    pub(crate) withdraws: Option<Digest>,
    /// Whether it decides on a deviation.
    pub(crate) decides: bool,
}

impl From<&Change> for Recorded {
    fn from(change: &Change) -> Self {
        let itself = format!("the entry at {}", change.position);
        let (made, note, audience) = match change.says.clone() {
            EntryBody::Release(it) => (it.release.to_string(), it.note, it.audience),
            EntryBody::Withdrawal(it) => (itself, it.reason, it.audience),
            EntryBody::Deviation(it) => (itself, it.reason, Audience::site(it.site)),
        };
        let withdraws = match &change.says {
            EntryBody::Withdrawal(withdrawal) => Some(withdrawal.revision.digest),
            EntryBody::Release(_) | EntryBody::Deviation(_) => None,
        };
        let decides = matches!(change.says, EntryBody::Deviation(_));
        Self { seen: change.into(), made, note, audience, withdraws, decides }
    }
}

/// What one reader who followed the feed was given, and what there was for it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Watched {
    /// Whose view it was; none: the whole.
    pub(crate) site: Option<SiteId>,
    pub(crate) given: Vec<Seen>,
    pub(crate) view: Vec<Seen>,
}

/// What a kitchen held and said.
#[derive(Clone, Debug, Default)]
pub(crate) struct Kitchen {
    /// The groups that it is in.
    pub(crate) groups: BTreeSet<GroupId>,
    /// The positions that it told of, over all its lives.
    pub(crate) told: Vec<u64>,
    /// What it held when it was looked at, after a death or at the end.
    pub(crate) held: Vec<Vec<Seen>>,
    /// What the hub has for it in the end.
    pub(crate) view: Vec<Seen>,
    /// Which entries the hub knows it has received.
    pub(crate) received: BTreeSet<u64>,
    /// The revisions that it goes by in the end.
    pub(crate) in_force: BTreeSet<Digest>,
    /// What is in force or stopped at it in the end and why, and what it makes otherwise, as one
    /// digest, by each who was asked.
    pub(crate) states: Vec<(String, Digest)>,
}

/// A run.
#[derive(Clone, Debug, Default)]
pub(crate) struct History {
    pub(crate) feed: Vec<Recorded>,
    pub(crate) acknowledged: Vec<Acknowledged>,
    pub(crate) watched: BTreeMap<String, Watched>,
    pub(crate) kitchens: BTreeMap<SiteId, Kitchen>,
}

/// The entries of several stretches.
pub(crate) fn entries<T: for<'c> From<&'c Change>>(stretches: &[Changes]) -> Vec<T> {
    stretches.iter().flat_map(|stretch| &stretch.entries).map(T::from).collect()
}
