//! Bounds.

use std::time::Duration;

/// How much a hub may take of the database, and of its callers' time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PostgresConfig {
    /// How many connections change something. They queue for the counter in the end, so that many
    /// gain little.
    pub writers: u32,
    /// How many connections read. Readers wait for no writer, but for each other when there are
    /// more of them.
    pub readers: u32,
    /// How long one try of an operation may take; half of it may pass with waiting for a
    /// connection. The server gives up a statement after as long.
    pub time_limit: Duration,
    /// How often the counter is looked at, apart from when another hub says that it moved.
    pub poll_every: Duration,
}

impl Default for PostgresConfig {
    /// With one more connection to listen, six such hubs fit into the hundred connections that a
    /// server takes by default.
    fn default() -> Self {
        Self {
            writers: 4,
            readers: 10,
            time_limit: Duration::from_secs(20),
            poll_every: Duration::from_secs(1),
        }
    }
}
