//! The hub's time.

use std::fmt;
use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

use chablon_model::Moment;

/// Tells the time: when something is recorded, and which moment "now" is.
#[derive(Clone)]
pub struct Clock(Arc<dyn Fn() -> Moment + Send + Sync>);

impl Clock {
    /// The machine's clock.
    pub fn system() -> Self {
        Self(Arc::new(|| {
            let milliseconds = match SystemTime::now().duration_since(UNIX_EPOCH) {
                Ok(since) => i64::try_from(since.as_millis()).unwrap_or(i64::MAX),
                Err(before) => -i64::try_from(before.duration().as_millis()).unwrap_or(i64::MAX),
            };
            Moment(milliseconds)
        }))
    }

    /// A clock that says what it is told to.
    pub fn new(tell: impl Fn() -> Moment + Send + Sync + 'static) -> Self {
        Self(Arc::new(tell))
    }

    /// The time.
    pub fn now(&self) -> Moment {
        (self.0)()
    }
}

impl fmt::Debug for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Clock").field(&self.now()).finish()
    }
}
