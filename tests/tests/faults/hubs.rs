//! Hubs as processes of their own, on one database.

use std::time::Duration;

use chablon_tests::Hub;
use tokio::task::spawn_blocking;

/// How often a hub is started again. Its database may be down meanwhile.
const RESTARTS: u32 = 200;
/// After which pause.
const REST: Duration = Duration::from_millis(100);

/// A hub with its place.
pub(crate) struct Place {
    store: String,
    address: String,
    running: Option<Hub>,
}

impl Place {
    /// Starts a hub on any free port.
    pub(crate) fn start(store: &str) -> Self {
        let hub = Hub::start(store);
        let (store, address) = (store.to_owned(), hub.address().to_owned());
        Self { store, address, running: Some(hub) }
    }

    pub(crate) fn address(&self) -> &str {
        &self.address
    }

    /// Kills the hub, and starts another one in its place after a while.
    pub(crate) async fn die_and_rise(&mut self, after: Duration) {
        if let Some(hub) = self.running.take() {
            hub.kill();
        }
        tokio::time::sleep(after).await;
        for _ in 0..RESTARTS {
            let (store, address) = (self.store.clone(), self.address.clone());
            let started = spawn_blocking(move || Hub::try_start_at(store, &address)).await;
            self.running = started.expect("starting doesn't panic");
            if self.running.is_some() {
                return;
            }
            tokio::time::sleep(REST).await;
        }
        panic!("the hub at {} does not come up again", self.address)
    }
}
