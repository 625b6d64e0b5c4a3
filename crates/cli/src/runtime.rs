//! Where calls to a hub and to stores run.

use std::future::Future;

use crate::failure::Failure;

/// Runs a future to its end.
pub(crate) fn run<T>(future: impl Future<Output = Result<T, Failure>>) -> Result<T, Failure> {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build();
    let runtime = runtime
        .map_err(|error| Failure::internal(format!("no threads can be started: {error}")))?;
    runtime.block_on(future)
}
