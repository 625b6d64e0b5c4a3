//! A clock that stands still.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use chablon_model::Moment;
use chablon_server::Clock;

/// A clock that tells the time that it was set to. Its clones tell the same.
#[derive(Clone, Debug)]
pub struct TestClock(Arc<AtomicI64>);

impl TestClock {
    /// A clock set to a moment.
    pub fn at(moment: Moment) -> Self {
        Self(Arc::new(AtomicI64::new(moment.0)))
    }

    /// The time.
    pub fn now(&self) -> Moment {
        Moment(self.0.load(Ordering::SeqCst))
    }

    /// Sets it.
    pub fn set(&self, moment: Moment) {
        self.0.store(moment.0, Ordering::SeqCst);
    }

    /// Puts it forward.
    pub fn advance(&self, milliseconds: i64) {
        self.0.fetch_add(milliseconds, Ordering::SeqCst);
    }
}

impl Default for TestClock {
    /// 2026-10-01T08:00:00Z.
    fn default() -> Self {
        Self::at(Moment(1_790_841_600_000))
    }
}

impl From<&TestClock> for Clock {
    fn from(clock: &TestClock) -> Self {
        let clock = clock.clone();
        Self::new(move || clock.now())
    }
}
