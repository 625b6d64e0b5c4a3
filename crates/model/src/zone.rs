//! Time zones by name, and times as a clock on the wall shows them.

use std::fmt;
use std::str::FromStr;

use crate::{Day, DayError};

/// The name of a time zone as the IANA time zone database has it, such as `Europe/Paris`. What its
/// clocks show when, and whether the database has it at all, isn't known here.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TimeZoneName(Box<str>);

/// Why a text is no name of a time zone.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not the name of a time zone; write it as `Europe/Paris`")]
pub struct TimeZoneNameError(pub String);

impl TimeZoneName {
    /// The name.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl FromStr for TimeZoneName {
    type Err = TimeZoneNameError;
    /// Takes one to 64 bytes: parts between `/`, of letters, digits, `_`, `+` and `-`, each
    /// beginning with a letter.
    fn from_str(text: &str) -> Result<Self, TimeZoneNameError> {
        let other = |b: u8| b.is_ascii_alphanumeric() || b"_+-".contains(&b);
        let part = |part: &str| {
            part.bytes().all(other) && part.starts_with(|first: char| first.is_ascii_alphabetic())
        };
        if text.len() <= 64 && text.split('/').all(part) {
            Ok(Self(text.into()))
        } else {
            Err(TimeZoneNameError(text.to_owned()))
        }
    }
}

impl fmt::Display for TimeZoneName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl fmt::Debug for TimeZoneName {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A time of a day as a clock on the wall shows it, to the minute, wherever the clock hangs. Shown
/// as `2026-12-01 06:00`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LocalTime {
    day: Day,
    hour: u8,
    minute: u8,
}

/// Why a text is no time of a day.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a time of a day; write `2026-12-01 06:00`")]
pub struct LocalTimeError(pub String);

impl LocalTime {
    /// A time from 00:00 to 23:59.
    pub fn new(day: Day, hour: u8, minute: u8) -> Result<Self, LocalTimeError> {
        let error = || LocalTimeError(format!("{day} {hour:02}:{minute:02}"));
        if hour < 24 && minute < 60 { Ok(Self { day, hour, minute }) } else { Err(error()) }
    }

    /// The day.
    pub fn day(self) -> Day {
        self.day
    }

    /// The hour, 0 to 23.
    pub fn hour(self) -> u8 {
        self.hour
    }

    /// The minute, 0 to 59.
    pub fn minute(self) -> u8 {
        self.minute
    }
}

impl FromStr for LocalTime {
    type Err = LocalTimeError;
    fn from_str(text: &str) -> Result<Self, LocalTimeError> {
        let error = || LocalTimeError(text.to_owned());
        let (day, time) = text.split_once([' ', 'T']).ok_or_else(error)?;
        let (hour, minute) = time.split_once(':').ok_or_else(error)?;
        let two = |part: &str| {
            let digits = part.len() == 2 && part.bytes().all(|b| b.is_ascii_digit());
            if digits { part.parse::<u8>().map_err(|_| error()) } else { Err(error()) }
        };
        let day: Day = day.parse().map_err(|_: DayError| error())?;
        Self::new(day, two(hour)?, two(minute)?).map_err(|_| error())
    }
}

impl fmt::Display for LocalTime {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {:02}:{:02}", self.day, self.hour, self.minute)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_those_of_the_database() {
        for name in ["Europe/Paris", "America/Port-au-Prince", "Etc/GMT+1", "UTC"] {
            assert_eq!(name.parse::<TimeZoneName>().unwrap().to_string(), name);
        }
        for wrong in ["", "Europe/", "/etc", "../etc", "Europe Paris", "+01:00", "Europe//Paris"] {
            assert!(wrong.parse::<TimeZoneName>().is_err(), "{wrong}");
        }
    }

    #[test]
    fn times_are_read_as_they_are_shown() {
        let time: LocalTime = "2026-12-01T06:00".parse().unwrap();
        assert_eq!(time.to_string(), "2026-12-01 06:00");
        for wrong in ["2026-12-01", "2026-12-01 24:00", "2026-12-01 6:00", "2026-02-30 06:00"] {
            assert!(wrong.parse::<LocalTime>().is_err(), "{wrong}");
        }
    }
}
