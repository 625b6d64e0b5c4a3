//! How a replica stands.

use std::time::Duration;

use chablon_model::{Checkpoint, Digest, Moment, SiteId};
use chablon_trust::{Notice, known_at, notices};
use chablon_wire::FeedCursor;

use super::Replica;
use super::pin::Trusting;
use crate::Error;

/// After which time without a word of a hub a replica is overdue: a kitchen that works every day
/// should hear of what was released, and above all of what was withdrawn, by the next one. Our own
/// choice; no source.
pub const OVERDUE_AFTER: Duration = Duration::from_hours(24);

/// How a replica stands.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Status {
    /// Whose replica it is.
    pub site: SiteId,
    /// How far it got; none before the first catch-up.
    pub cursor: Option<FeedCursor>,
    /// When it last knew all that the hub knew.
    pub last_contact: Option<Moment>,
    /// How many statements wait to be delivered.
    pub unsaid: usize,
    /// Whom it trusts; none where it takes whatever its hub shows.
    pub trust: Option<TrustStatus>,
}

/// Whom a replica trusts.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct TrustStatus {
    /// The version of the root.
    pub version: u32,
    /// The digest of the root.
    pub digest: Digest,
    /// What was vouched for last; none before anything was, and where the hub's key was replaced
    /// since.
    pub checkpoint: Option<Checkpoint>,
    /// What must be told loudly. It disables nothing.
    pub notices: Vec<Notice>,
}

impl Status {
    /// How long ago the hub was last heard of; none where it never was.
    pub fn silent_for(&self, now: Moment) -> Option<Duration> {
        Some(between(self.last_contact?, now))
    }

    /// When what is held was last all that a hub knew; none where it never was.
    ///
    /// A kitchen that trusts a root goes by when a hub vouched for all of it, so that a mirror that
    /// shows the same for ever grows old. Any other, and one in the middle of catching up, goes by
    /// when it last heard that it had all.
    pub fn known_at(&self) -> Option<Moment> {
        let vouched = self.trust.as_ref().and_then(|trust| trust.checkpoint.as_ref());
        known_at(vouched, self.last_contact)
    }

    /// Whether that is longer ago than [`OVERDUE_AFTER`], or never was. It disables nothing; what has
    /// expired besides is among [`TrustStatus::notices`].
    pub fn is_overdue(&self, now: Moment) -> bool {
        self.known_at().is_none_or(|at| between(at, now) > OVERDUE_AFTER)
    }
}

fn between(then: Moment, now: Moment) -> Duration {
    Duration::from_millis(now.0.saturating_sub(then.0).try_into().unwrap_or(0))
}

impl Replica {
    /// How it stands: how far it got, and when it last heard of the hub.
    pub async fn status(&self) -> Result<Status, Error> {
        let store = &self.store;
        Ok(Status {
            site: self.site.clone(),
            cursor: self.cursor().await?,
            last_contact: store.last_contact().await.map_err(Error::of_store)?,
            unsaid: store.outbox(usize::MAX).await.map_err(Error::of_store)?.len(),
            trust: self.trust_status().await?,
        })
    }

    async fn trust_status(&self) -> Result<Option<TrustStatus>, Error> {
        let trusting = self.trusting().await?;
        Ok(trusting.map(|Trusting { root, mark, .. }| TrustStatus {
            version: root.root().version,
            digest: root.frozen().digest,
            notices: notices(root.root(), mark.as_ref(), (self.clock)()),
            checkpoint: mark,
        }))
    }

    /// What must be told of those whom it trusts.
    pub(super) async fn notices(&self) -> Result<Vec<Notice>, Error> {
        Ok(self.trust_status().await?.map(|trust| trust.notices).unwrap_or_default())
    }
}
