//! The system's clock, and moments and days as people write and read them.

use chablon_model::{Day, Moment};
use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};

/// This moment.
pub(crate) fn now() -> Moment {
    Moment(Timestamp::now().as_millisecond())
}

/// This day, where the machine stands.
pub(crate) fn today() -> Day {
    day_of(ZonedDateTime::now().date())
}

fn day_of(date: Date) -> Day {
    let year = u16::try_from(date.year()).unwrap_or_default();
    let (month, day) = (date.month().unsigned_abs(), date.day().unsigned_abs());
    Day::new(year, month, day).expect("a clock between the years 1 and 9999")
}

/// A moment as it is typed: `2026-12-01`, `2026-12-01 06:00` by the machine's time zone, or
/// `2026-12-01T06:00Z`.
pub(crate) fn parse_moment(text: &str) -> Result<Moment, String> {
    let at =
        |time: DateTime| time.to_zoned_datetime(TimeZone::system()).map(|zoned| zoned.timestamp());
    let parsed: Result<Timestamp, _> = text.parse();
    let parsed = parsed.or_else(|_| text.parse::<DateTime>().and_then(at));
    let millisecond = parsed.map(Timestamp::as_millisecond);
    millisecond.map(Moment).map_err(|_| {
        format!("`{text}` is not a moment; write `2026-12-01`, `2026-12-01 06:00` or `2026-12-01T06:00Z`")
    })
}

/// A moment for people, to the minute, by the machine's time zone.
pub(crate) fn show(moment: Moment) -> String {
    let zoned = Timestamp::from_millisecond(moment.0)
        .map(|time| time.to_zoned_datetime(TimeZone::system()));
    zoned.map_or_else(
        |_| "at no time".to_owned(),
        |zoned| zoned.strftime("%Y-%m-%d %H:%M").to_string(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn moment(text: &str) -> i64 {
        parse_moment(text).unwrap().0
    }

    #[test]
    fn a_moment_may_be_given_with_its_zone() {
        assert_eq!(moment("2026-12-01T06:00Z"), 1_796_104_800_000);
        assert_eq!(moment("2026-12-01T07:00+01:00"), moment("2026-12-01T06:00Z"));
    }

    #[test]
    fn a_day_is_its_first_moment() {
        assert_eq!(moment("2026-12-01"), moment("2026-12-01 00:00"));
    }

    #[test]
    fn what_is_no_moment_is_told_how_to_write_one() {
        assert!(parse_moment("tomorrow").unwrap_err().contains("2026-12-01"));
    }
}
