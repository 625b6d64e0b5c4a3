//! What all services work with.

use std::sync::Arc;

use chablon_exchange::Exchange;
use tokio_util::sync::CancellationToken;
use tonic::Request;

use crate::access::Gate;
use crate::call::Call;
use crate::clock::Clock;
use crate::config::HubConfig;
use crate::slots::Slots;

/// The use cases, and what surrounds them.
pub(crate) struct Desk {
    pub(crate) exchange: Exchange,
    pub(crate) gate: Arc<Gate>,
    pub(crate) clock: Clock,
    pub(crate) config: HubConfig,
    pub(crate) slots: Arc<Slots>,
    /// Cancelled when the hub stops: streams then end.
    pub(crate) stopping: CancellationToken,
}

impl Desk {
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
