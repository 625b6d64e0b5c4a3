//! What all services work with.

use std::sync::Arc;

use chablon_exchange::{Exchange, KitchenStore};
use chablon_wire::pb;
use tokio_util::sync::CancellationToken;
use tonic::Request;

use crate::access::{Gate, Guesses};
use crate::call::Call;
use crate::clock::Clock;
use crate::config::HubConfig;
use crate::packs::Packs;
use crate::slots::Slots;
use crate::status::Refusal;

/// The use cases, and what surrounds them.
pub(crate) struct Desk {
    pub(crate) exchange: Exchange,
    pub(crate) gate: Arc<Gate>,
    /// The replica that is served, where this isn't a hub.
    pub(crate) kitchen: Option<Kitchen>,
    pub(crate) guesses: Guesses,
    pub(crate) clock: Clock,
    pub(crate) config: HubConfig,
    pub(crate) slots: Arc<Slots>,
    pub(crate) packs: Packs,
    /// Cancelled when the hub stops: streams then end.
    pub(crate) stopping: CancellationToken,
}

/// The replica of a kitchen, as the store of one that serves.
#[derive(Clone)]
pub(crate) struct Kitchen(pub(crate) Arc<KitchenStore>);

impl Desk {
    /// How old the replica is that answers; nothing where a hub does.
    pub(crate) async fn replica(&self) -> Result<Option<pb::ReplicaState>, Refusal> {
        let Some(Kitchen(store)) = &self.kitchen else { return Ok(None) };
        let heard_at_ms = store.known_at().await?.map(|at| at.0);
        Ok(Some(pb::ReplicaState { heard_at_ms }))
    }

    /// Begins a call about a site, or about none.
    pub(crate) fn call<T>(&self, method: &'static str, request: &Request<T>, site: &str) -> Call {
        Call::begin(method, request, site, "", self.config.call_deadline)
    }

    /// Begins a call that changes something.
    pub(crate) fn change<T>(
        &self,
        method: &'static str,
        request: &Request<T>,
        request_id: &str,
    ) -> Call {
        Call::begin(method, request, "", request_id, self.config.call_deadline)
    }
}
