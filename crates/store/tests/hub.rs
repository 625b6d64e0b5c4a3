//! The hub's store in memory, held to the suite.

use std::sync::Arc;

use chablon_store::{HubStore, MemoryHub};

fn place() -> impl AsyncFn() -> Arc<dyn HubStore> {
    let hub = Arc::new(MemoryHub::new("an-epoch".parse().unwrap()));
    async move || hub.clone() as Arc<dyn HubStore>
}

chablon_store::hub_conformance!(place);
