//! The use cases of a hub over a store and a clock: propose, look at, release, withdraw, decide on
//! deviations, catch up, adopt. A kitchen's replica may stand in the place of the store
//! ([`KitchenStore`]), where only what is read is asked for.
//!
//! An [`Exchange`] takes what has been parsed and answers in values of the model. It knows no
//! transport, reads no clock (moments are arguments) and decides who may see what by the [`View`]
//! that is asked for; whether the caller may ask for that view is decided by whoever calls.
//!
//! Each area has one enum of errors. What they mean to a caller is said there; how they are sent
//! is the server's business.
//!
//! [`View`]: chablon_model::View

use std::sync::Arc;
use std::time::Duration;

use chablon_store::HubStore;
use chablon_trust::SigningKey;
use tokio::runtime::{Handle, RuntimeFlavor};
use tokio::sync::watch;

mod access;
mod adoption;
mod audit;
mod bodies;
mod checkpoints;
mod compact;
mod day;
mod deviations;
mod documents;
mod drafts;
mod fault;
mod feed;
mod figures;
mod follow;
mod kept;
mod kitchen;
mod lots;
mod read;
mod recent;
mod release;
mod releases;
mod standards;
mod stretch;
mod trust;
mod withdraw;

pub use chablon_change::{Caution, Laid};

pub use access::{AccessError, EnrolmentRequest, TokenError};
use checkpoints::Checkpoints;

pub use adoption::{AdoptionError, AdoptionQuery, Adoptions};
pub use bodies::BodyError;
pub use compact::{Compacted, CompactionError};
pub use deviations::{Decided, DecisionRequest, DeviationError, Deviations};
pub use documents::Heads;
pub use drafts::{DraftError, DraftRequest, HeldDraft, Looked, Verdict};
pub use fault::StoreFault;
pub use feed::{Changes, FeedError, Standpoint};
pub use figures::{DeclareQuery, FigureError, FigureQuery, Founded, ShockQuery};
pub use follow::Reader;
pub use kitchen::KitchenStore;
pub use lots::{LotError, LotNotes};
pub use read::ReadError;
pub use release::{DraftReleaseRequest, ReleaseError, ReleaseRequest, Released, Unreleasable};
pub use releases::{Release, Releases};
pub use standards::{Found, Standards, StandardsQuery};
pub use trust::TrustFault;
pub use withdraw::{WithdrawalError, WithdrawalRequest, Withdrawn};

use day::day_of;

/// The use cases of a hub.
#[derive(Clone)]
pub struct Exchange {
    store: Arc<dyn HubStore>,
    recent: recent::Recent,
    kept: kept::Kept,
    checkpoints: Option<Arc<Checkpoints>>,
}

impl Exchange {
    /// The use cases over a store.
    pub fn new(store: Arc<dyn HubStore>) -> Self {
        Self {
            store,
            recent: recent::Recent::default(),
            kept: kept::Kept::default(),
            checkpoints: None,
        }
    }

    /// With a key by which the hub signs what it shows. A checkpoint stands for what is new for so
    /// long.
    #[must_use]
    pub fn with_checkpoints(self, key: SigningKey, valid_for: Duration) -> Self {
        Self { checkpoints: Some(Arc::new(Checkpoints::new(key, valid_for))), ..self }
    }

    /// The last position, as a hint that there is something to read; it may come late or never.
    pub fn subscribe(&self) -> watch::Receiver<u64> {
        self.store.subscribe()
    }
}

/// Computes off the threads that serve calls. Where one thread does everything it does this in its
/// turn: what happens then has one order, as simulations need it.
pub(crate) async fn blocking<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> T {
    if Handle::current().runtime_flavor() == RuntimeFlavor::CurrentThread {
        return work();
    }
    match tokio::task::spawn_blocking(work).await {
        Ok(done) => done,
        Err(failed) => std::panic::resume_unwind(failed.into_panic()),
    }
}
