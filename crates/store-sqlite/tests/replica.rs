//! The kitchen's store on SQLite, held to the suite.

use std::sync::Arc;

use chablon_store::ReplicaStore;
use chablon_store_sqlite::SqliteReplica;

fn place() -> impl AsyncFn() -> Arc<dyn ReplicaStore> {
    let folder = tempfile::tempdir().unwrap();
    async move || {
        let replica = SqliteReplica::open(&folder.path().join("kitchen.db")).await.unwrap();
        Arc::new(replica) as Arc<dyn ReplicaStore>
    }
}

chablon_store::replica_conformance!(place);
