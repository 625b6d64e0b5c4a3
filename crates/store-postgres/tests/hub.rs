//! The hub's store on PostgreSQL, held to the suite.

use std::sync::Arc;

use chablon_store::HubStore;
use chablon_store_postgres::{PostgresConfig, PostgresHub, migrate};
use chablon_testkit::postgres::TestDatabase;
use tokio::sync::OnceCell;

fn place() -> impl AsyncFn() -> Arc<dyn HubStore> {
    let database = OnceCell::new();
    async move || {
        let database: &TestDatabase = database
            .get_or_init(async || {
                let database = TestDatabase::create().await;
                migrate(database.url()).await.unwrap();
                database
            })
            .await;
        let epoch = || "an-epoch".parse().unwrap();
        let config = PostgresConfig::default();
        let hub = PostgresHub::open(database.url(), &config, epoch).await.unwrap();
        Arc::new(hub) as Arc<dyn HubStore>
    }
}

chablon_store::hub_conformance!(place);
