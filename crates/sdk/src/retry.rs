//! Repetition of calls that failed in a way that may pass.

use std::future::Future;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::Duration;

use backon::Retryable as _;

use crate::replica::why_anew;
use crate::{Error, Options};

/// How often a list may be begun because it changed while it was read.
pub(crate) const BEGINNINGS: usize = 5;

/// Reads a list to its end, and again from its beginning where what follows no longer joins what was
/// read of it.
pub(crate) async fn listing<T, F>(mut list: impl FnMut() -> F) -> Result<T, Error>
where
    F: Future<Output = Result<T, Error>>,
{
    for _ in 1..BEGINNINGS {
        match list().await {
            Err(error) if why_anew(&error).is_some() => tracing::debug!(%error, "listing anew"),
            answer => return answer,
        }
    }
    list().await
}

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

#[cfg(test)]
mod tests {
    use std::collections::VecDeque;
    use std::time::Duration;

    use test_case::test_case;

    use super::{changing, reading};
    use crate::error::Kind;
    use crate::{Error, Options};

    /// Of these the call may have arrived.
    const LOST: (Kind, bool) = (Kind::TimedOut, true);
    /// Of these it surely hasn't.
    const NEVER_SENT: (Kind, bool) = (Kind::Unavailable, false);
    const REFUSED: (Kind, bool) = (Kind::Invalid, false);

    fn options() -> Options {
        Options::default().with_retries(2).with_first_pause(Duration::from_millis(1))
    }

    /// A call that fails so, one after the other, and then succeeds.
    fn failing(
        failures: &[(Kind, bool)],
    ) -> impl FnMut() -> std::future::Ready<Result<&'static str, Error>> {
        let mut failures: VecDeque<_> = failures.to_vec().into();
        move || {
            let failed = failures.pop_front();
            let failed = failed.map(|(kind, doubt)| Error::new(kind, "failed").in_doubt(doubt));
            std::future::ready(failed.map_or(Ok("done"), Err))
        }
    }

    #[test_case(&[LOST, NEVER_SENT, NEVER_SENT], true; "lost and then out of reach")]
    #[test_case(&[NEVER_SENT, NEVER_SENT, NEVER_SENT], false; "never out of the house")]
    #[test_case(&[LOST, REFUSED], false; "a refusal settles it")]
    #[test_case(&[LOST, LOST, LOST], true; "always lost")]
    #[tokio::test]
    async fn doubt_outlives_a_later_attempt(failures: &[(Kind, bool)], unknown: bool) {
        let error = changing(&options(), failing(failures)).await.unwrap_err();
        assert_eq!(error.outcome_unknown(), unknown, "{error:?}");
        let error = reading(&options(), failing(failures)).await.unwrap_err();
        assert!(!error.outcome_unknown(), "what was only read leaves no doubt");
    }

    #[tokio::test]
    async fn what_may_pass_is_tried_again_as_often_as_said() {
        assert_eq!(changing(&options(), failing(&[LOST, NEVER_SENT])).await.unwrap(), "done");
        assert!(reading(&options(), failing(&[LOST, LOST, LOST])).await.is_err());
        assert!(reading(&options(), failing(&[REFUSED])).await.unwrap_err().is_invalid());
    }
}
