//! Work in tasks of its own.

use tokio::task::JoinHandle;

/// What a task gave, or its panic.
pub(crate) async fn joined<T>(task: JoinHandle<T>) -> T {
    match task.await {
        Ok(done) => done,
        Err(failed) => std::panic::resume_unwind(failed.into_panic()),
    }
}
