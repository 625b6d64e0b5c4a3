//! Published control points.

use chablon_model::Jurisdiction;
use chablon_quantity::{Exact, Number};

use crate::number::dec;

/// A limit. Temperatures are in degrees Celsius, times in minutes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// At most this warm.
    AtMost(Number),
    /// At least this warm.
    AtLeast(Number),
    /// At least this warm for so many seconds.
    Heat {
        /// Degrees.
        celsius: Number,
        /// Seconds.
        seconds: Number,
    },
    /// From one temperature to another within a time.
    Cool {
        /// Degrees from which the time counts.
        from: Number,
        /// Degrees to be reached.
        to: Number,
        /// Minutes.
        within: Number,
        /// Whether the whole time is too long already.
        strictly: bool,
    },
    /// No longer than so many minutes.
    Within(Number),
    /// Not without another ingredient.
    Instead(&'static str),
}

/// A published control point.
#[derive(Clone, Copy, Debug)]
pub struct Point {
    /// A key that doesn't change.
    pub key: &'static str,
    /// What it is for.
    pub what: &'static str,
    /// Whose it is.
    pub jurisdiction: Jurisdiction,
    /// Where it is published.
    pub source: &'static str,
    /// Whether it is from memory of the source.
    pub from_memory: bool,
    /// The limit.
    pub limit: Limit,
}

const fn whole(number: i64) -> Number {
    Number::whole(number)
}

const fn hours(number: i64) -> Number {
    Number::whole(number * 60)
}

const fn days(number: i64) -> Number {
    Number::whole(number * 24 * 60)
}

const fn us(key: &'static str, what: &'static str, source: &'static str, limit: Limit) -> Point {
    let jurisdiction = Jurisdiction::UsFoodCode;
    Point { key, what, jurisdiction, source, from_memory: false, limit }
}

const fn fr(key: &'static str, what: &'static str, limit: Limit) -> Point {
    let (jurisdiction, source) = (Jurisdiction::France, "Order of 21 December 2009");
    Point { key, what, jurisdiction, source, from_memory: false, limit }
}

const fn from_memory(point: Point) -> Point {
    Point { from_memory: true, ..point }
}

const fn uk(key: &'static str, what: &'static str, limit: Limit) -> Point {
    Point {
        key,
        what,
        jurisdiction: Jurisdiction::UnitedKingdom,
        source: "Food Safety (Temperature Control) Regulations",
        from_memory: true,
        limit,
    }
}

/// The table. Another jurisdiction is more rows.
pub static POINTS: &[Point] = &[
    us(
        "us-cool-first",
        "cooling of cooked food, first stage",
        "3-501.14",
        Limit::Cool { from: whole(57), to: whole(21), within: hours(2), strictly: false },
    ),
    us(
        "us-cool-total",
        "cooling of cooked food, in all",
        "3-501.14",
        Limit::Cool { from: whole(57), to: whole(5), within: hours(6), strictly: false },
    ),
    us(
        "us-cool-ambient",
        "cooling of food made from ingredients at room temperature",
        "3-501.14",
        Limit::Cool { from: whole(57), to: whole(5), within: hours(4), strictly: false },
    ),
    us("us-hot", "hot holding", "3-501.16", Limit::AtLeast(whole(57))),
    us("us-cold", "cold holding", "3-501.16", Limit::AtMost(whole(5))),
    us("us-shell-eggs", "ambient air around shell eggs", "3-501.16", Limit::AtMost(whole(7))),
    us(
        "us-egg-to-order",
        "shell eggs for immediate service",
        "3-401.11(A)(1)",
        Limit::Heat { celsius: whole(63), seconds: whole(15) },
    ),
    us(
        "us-egg-pooled",
        "pooled or held raw eggs",
        "3-401.11(A)(2), as amended in 2017",
        Limit::Heat { celsius: whole(68), seconds: whole(17) },
    ),
    us(
        "us-egg-uncooked",
        "meringue, mousse, ice cream and the like that are not cooked",
        "3-302.13",
        Limit::Instead("pasteurised egg"),
    ),
    from_memory(us(
        "us-reheat",
        "reheating for hot holding, within 2 h",
        "3-403.11",
        Limit::Heat { celsius: whole(74), seconds: whole(15) },
    )),
    from_memory(us(
        "us-time",
        "time as a control, from leaving temperature control",
        "3-501.19",
        Limit::Within(hours(4)),
    )),
    from_memory(us(
        "us-time-cool",
        "time as a control, if it never gets warmer than 21 °C",
        "3-501.19",
        Limit::Within(hours(6)),
    )),
    from_memory(us(
        "us-date",
        "ready to eat and kept at 5 °C or below, the day of making counted",
        "3-501.17",
        Limit::Within(days(7)),
    )),
    fr(
        "fr-cool",
        "cooling of prepared dishes, at the core",
        Limit::Cool { from: whole(63), to: whole(10), within: hours(2), strictly: true },
    ),
    fr("fr-cold", "prepared dishes, chilled", Limit::AtMost(whole(3))),
    fr(
        "fr-very-perishable",
        "very perishable food at retail and catering",
        Limit::AtMost(whole(4)),
    ),
    fr("fr-perishable", "perishable food at retail and catering", Limit::AtMost(whole(8))),
    fr("fr-egg-products", "egg products and raw milk", Limit::AtMost(whole(4))),
    fr("fr-frozen", "ice cream and quick-frozen food", Limit::AtMost(whole(-18))),
    fr("fr-frozen-other", "other frozen food", Limit::AtMost(whole(-12))),
    fr("fr-hot", "hot holding", Limit::AtLeast(whole(63))),
    fr(
        "fr-reheat",
        "reheating, at the core",
        Limit::Cool { from: whole(10), to: whole(63), within: hours(1), strictly: true },
    ),
    fr("fr-date", "prepared dishes, chilled, after the day of making", Limit::Within(days(3))),
    uk("uk-cold", "chilled food", Limit::AtMost(whole(8))),
    uk("uk-hot", "hot holding", Limit::AtLeast(whole(63))),
    uk("uk-time", "out of chilled storage, once", Limit::Within(hours(4))),
    uk("uk-time-hot", "below the temperature of hot holding, once", Limit::Within(hours(2))),
    Point {
        key: "eu-liquid-egg",
        what: "liquid egg that isn't stabilised",
        jurisdiction: Jurisdiction::EuropeanUnion,
        source: "Regulation (EC) No 853/2004, Annex III, section X",
        from_memory: true,
        limit: Limit::AtMost(whole(4)),
    },
];

/// A heat treatment that counts as pasteurisation of a mix of milk, sugar and egg.
#[derive(Debug)]
pub struct Pasteurisation {
    /// Degrees Celsius.
    pub celsius: Number,
    /// Seconds for which they are held.
    pub seconds: Number,
    /// Where it holds.
    pub source: &'static str,
}

const fn held(celsius: Number, seconds: i64, source: &'static str) -> Pasteurisation {
    Pasteurisation { celsius, seconds: Number::whole(seconds), source }
}

const UK_MIX: &str = "ice-cream mix, United Kingdom, from memory";
const US_MIX: &str = "ice-cream mix, United States, from memory";

/// Published pairs of temperature and time.
pub static PASTEURISATION: &[Pasteurisation] = &[
    held(dec(656, -1), 30 * 60, UK_MIX),
    held(dec(711, -1), 10 * 60, UK_MIX),
    held(dec(794, -1), 15, UK_MIX),
    held(dec(683, -1), 30 * 60, US_MIX),
    held(dec(794, -1), 25, US_MIX),
];

/// The pairs that a mix held at a temperature for so many seconds meets.
pub fn pasteurises(celsius: &Exact, seconds: &Exact) -> Vec<&'static Pasteurisation> {
    let met = |pair: &&Pasteurisation| {
        *celsius >= pair.celsius.exact() && *seconds >= pair.seconds.exact()
    };
    PASTEURISATION.iter().filter(met).collect()
}
