//! The suite that every store must pass.
//!
//! A check takes `open`, which opens one store: called again it opens the same one again, as after
//! a restart. Each check wants a place of its own. [`hub_conformance!`](crate::hub_conformance) and
//! [`replica_conformance!`](crate::replica_conformance) make one test of each check.
//!
//! What a check may wait for is bounded by the store under test: a store that hangs makes a check
//! hang, and the test runner's time limit ends it. What stays nondeterministic is the order in
//! which writers get their turn and the moment at which a dropped change ends; the checks hold for
//! every order.

pub mod hub;
pub mod replica;
mod samples;

use std::time::Duration;

/// Drops a future when it isn't done after a while.
async fn drop_after<T>(micros: u64, future: impl Future<Output = T>) -> Option<T> {
    tokio::time::timeout(Duration::from_micros(micros), future).await.ok()
}

/// Fails with both sides unless a result is an error of a kind.
macro_rules! assert_refused {
    ($result:expr, $pattern:pat $(if $guard:expr)?) => {
        match $result {
            Err($pattern) $(if $guard)? => {}
            other => panic!("expected {}, got {other:?}", stringify!($pattern)),
        }
    };
}
use assert_refused;

/// One test for each check of a list, each in a place of its own.
#[doc(hidden)]
#[macro_export]
macro_rules! conformance_tests {
    ($suite:ident, $place:path, $($file:ident: $($check:ident)+;)+) => {$($(
        #[tokio::test(flavor = "multi_thread", worker_threads = 2)]
        async fn $check() {
            $crate::conformance::$suite::$file::$check($place()).await;
        }
    )+)+};
}
