//! Civil days, as prices and rates are dated.

use std::fmt;
use std::str::FromStr;

/// A day of the Gregorian calendar from the years 1 to 9999. Shown as `2026-10-01`.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day {
    year: u16,
    month: u8,
    day: u8,
}

/// Why a text or a triple is no day.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{0}` is not a day; write year-month-day, such as 2026-10-01")]
pub struct DayError(pub String);

impl Day {
    /// A day, where the calendar has it.
    pub fn new(year: u16, month: u8, day: u8) -> Result<Self, DayError> {
        let valid = (1..=9999).contains(&year)
            && (1..=12).contains(&month)
            && (1..=days_in(year, month)).contains(&day);
        let error = || DayError(format!("{year:04}-{month:02}-{day:02}"));
        if valid { Ok(Self { year, month, day }) } else { Err(error()) }
    }

    /// The year.
    pub fn year(self) -> u16 {
        self.year
    }

    /// The month, from 1.
    pub fn month(self) -> u8 {
        self.month
    }

    /// The day of the month, from 1.
    pub fn day(self) -> u8 {
        self.day
    }
}

fn days_in(year: u16, month: u8) -> u8 {
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    match month {
        4 | 6 | 9 | 11 => 30,
        2 if leap => 29,
        2 => 28,
        _ => 31,
    }
}

impl FromStr for Day {
    type Err = DayError;
    fn from_str(text: &str) -> Result<Self, DayError> {
        let error = || DayError(text.to_owned());
        let parts: Vec<&str> = text.split('-').collect();
        let [year, month, day] = parts[..] else { return Err(error()) };
        let widths = year.len() == 4 && month.len() == 2 && day.len() == 2;
        let digits = parts.iter().all(|part| part.bytes().all(|b| b.is_ascii_digit()));
        if !widths || !digits {
            return Err(error());
        }
        let number = |part: &str| part.parse::<u16>().map_err(|_| error());
        let small = |part: &str| part.parse::<u8>().map_err(|_| error());
        Self::new(number(year)?, small(month)?, small(day)?).map_err(|_| error())
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

impl fmt::Debug for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}
