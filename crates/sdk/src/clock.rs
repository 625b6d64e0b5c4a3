//! The one clock.

use std::sync::Arc;
use std::time::{SystemTime, UNIX_EPOCH};

use chablon_model::Moment;

/// Where a replica takes the time from.
pub(crate) type Clock = Arc<dyn Fn() -> Moment + Send + Sync>;

/// This moment, by the clock of the machine.
pub fn now() -> Moment {
    let since = SystemTime::now().duration_since(UNIX_EPOCH);
    // A clock that stands before 1970 is as wrong as one that stands there.
    Moment(since.map_or(0, |since| i64::try_from(since.as_millis()).unwrap_or(i64::MAX)))
}
