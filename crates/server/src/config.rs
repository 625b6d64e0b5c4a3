//! What can be set.

use std::time::Duration;

/// Bounds and intervals of a hub.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HubConfig {
    /// How long a call that has one answer may take.
    pub call_deadline: Duration,
    /// How long calls and streams have to end when the hub stops; what is left is then cut off.
    pub stop_within: Duration,
    /// How many connections are held at once. Those beyond wait to be accepted. Each takes a file
    /// descriptor, of which a process commonly has 1024.
    pub max_connections: usize,
    /// How many streams are served at once, over all connections; those beyond are refused.
    pub max_streams: usize,
    /// How many calls one connection may have under way.
    pub max_calls_per_connection: u32,
    /// After how long a silent connection is asked whether it is still there.
    pub keepalive_every: Duration,
    /// How long it has to answer.
    pub keepalive_within: Duration,
    /// How often a watch looks for news of which nobody told it, such as another process's.
    pub poll_every: Duration,
    /// How long a watch is silent at most before it says that there is nothing new.
    pub bookmark_every: Duration,
    /// After how long without any reading a stream counts as stalled. A stalled stream is ended
    /// when its place is needed for another. Longer than `poll_every`.
    pub stalled_after: Duration,
    /// How long a checkpoint stands for what is new, where the hub signs any. A kitchen that hears
    /// nothing for longer is told that it may lack news. Longer than a night's break of the line.
    pub checkpoints_stand_for: Duration,
}

impl Default for HubConfig {
    fn default() -> Self {
        Self {
            call_deadline: Duration::from_secs(30),
            stop_within: Duration::from_secs(5),
            max_connections: 500,
            max_streams: 500,
            max_calls_per_connection: 100,
            keepalive_every: Duration::from_secs(30),
            keepalive_within: Duration::from_secs(10),
            poll_every: Duration::from_secs(3),
            bookmark_every: Duration::from_secs(30),
            stalled_after: Duration::from_mins(1),
            checkpoints_stand_for: Duration::from_hours(24),
        }
    }
}
