//! Days from moments.

use chablon_model::{Day, Moment};

/// Milliseconds of a day.
const DAY: i64 = 24 * 60 * 60 * 1000;

/// The day of a moment at Greenwich, by the civil calendar.
///
/// Years are counted from 1 March 0000, so that a leap day ends one; 400 of them have 146,097 days.
pub(crate) fn day_of(moment: Moment) -> Day {
    let days = moment.0.div_euclid(DAY) + 719_468;
    let (era, day) = (days.div_euclid(146_097), days.rem_euclid(146_097));
    let year = (day - day / 1460 + day / 36_524 - day / 146_096) / 365;
    let of_year = day - (365 * year + year / 4 - year / 100);
    let month = (5 * of_year + 2) / 153;
    let of_month = of_year - (153 * month + 2) / 5 + 1;
    let (month, early) = if month < 10 { (month + 3, 0) } else { (month - 9, 1) };
    let year = year + era * 400 + early;
    let day = (u16::try_from(year), u8::try_from(month), u8::try_from(of_month));
    let (Ok(year), Ok(month), Ok(day)) = day else { unreachable!("moments are of years to 9999") };
    Day::new(year, month, day).expect("what is counted from the calendar is a day of it")
}

#[cfg(test)]
mod tests {
    use chablon_model::Moment;

    use super::{DAY, day_of};

    #[test]
    fn days_are_those_of_the_calendar() {
        for (days, expected) in [
            (0, "1970-01-01"),
            (-1, "1969-12-31"),
            (11_016, "2000-02-29"),
            (11_017, "2000-03-01"),
            (20_727, "2026-10-01"),
            (-25_509, "1900-02-28"),
            (-25_508, "1900-03-01"),
        ] {
            let moment = Moment(days * DAY + DAY / 2);
            assert_eq!(day_of(moment).to_string(), expected, "day {days}");
        }
    }
}
