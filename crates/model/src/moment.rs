//! Moments in time, given and never read from a clock here.

/// A moment: milliseconds since 1970-01-01T00:00:00Z, leap seconds left out as in UNIX time.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Moment(
    /// The milliseconds.
    pub i64,
);
