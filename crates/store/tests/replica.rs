//! The kitchen's store in memory, held to the suite.

use std::sync::Arc;

use chablon_store::{MemoryReplica, ReplicaStore};

fn place() -> impl AsyncFn() -> Arc<dyn ReplicaStore> {
    let replica = Arc::new(MemoryReplica::new());
    async move || replica.clone() as Arc<dyn ReplicaStore>
}

chablon_store::replica_conformance!(place);
