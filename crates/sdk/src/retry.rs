//! Repetition of calls that failed in a way that may pass.

use std::future::Future;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use backon::Retryable as _;

use crate::{Error, Options};

/// Repeats a call that changes nothing.
pub(crate) async fn reading<T, F>(options: &Options, call: impl FnMut() -> F) -> Result<T, Error>
where
    F: Future<Output = Result<T, Error>>,
{
    // What was only read left no doubt behind.
    attempts(options, call, |_| ()).await.map_err(|error| error.in_doubt(false))
}

/// Repeats a call that makes a change once, however often it arrives.
///
/// If any attempt may have arrived, the last error says so, even if that attempt surely didn't.
pub(crate) async fn changing<T, F>(options: &Options, call: impl FnMut() -> F) -> Result<T, Error>
where
    F: Future<Output = Result<T, Error>>,
{
    let doubt = AtomicBool::new(false);
    let note = |error: &Error| {
        doubt.fetch_or(error.outcome_unknown(), Ordering::Relaxed);
    };
    let answer = attempts(options, call, note).await;
    answer.map_err(|error| {
        // A refusal settles it: the hub keeps what it did under the request's id.
        let open = error.may_retry() && doubt.load(Ordering::Relaxed);
        let in_doubt = error.outcome_unknown() || open;
        error.in_doubt(in_doubt)
    })
}

async fn attempts<T, F>(
    options: &Options,
    call: impl FnMut() -> F,
    note: impl Fn(&Error),
) -> Result<T, Error>
where
    F: Future<Output = Result<T, Error>>,
{
    let notify = |error: &Error, pause: Duration| {
        note(error);
        tracing::debug!(%error, pause_ms = pause.as_millis(), "trying again");
    };
    call.retry(options.pauses()).when(Error::may_retry).notify(notify).await
}
