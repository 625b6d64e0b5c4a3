//! The hub's store on SQLite, held to the suite.

use std::sync::Arc;

use chablon_store::HubStore;
use chablon_store_sqlite::SqliteHub;

fn place() -> impl AsyncFn() -> Arc<dyn HubStore> {
    let folder = tempfile::tempdir().unwrap();
    async move || {
        let epoch = || "an-epoch".parse().unwrap();
        let hub = SqliteHub::open(&folder.path().join("hub.db"), epoch).await.unwrap();
        Arc::new(hub) as Arc<dyn HubStore>
    }
}

chablon_store::hub_conformance!(place);
