//! The stages of cooked sugar.

use chablon_quantity::{Exact, Length, Millimetres, Temperature, TemperatureUnit};

use super::{DoughError, HOT_SUGAR_CAUTION, interval, sources};
use crate::geometry::shown;

/// A stage of cooked sugar, by what a drop of it does in cold water, or by its colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stage {
    /// 102 to 113 °C.
    Thread,
    /// 113 to 116 °C.
    SoftBall,
    /// 118 to 121 °C.
    FirmBall,
    /// 121 to 130 °C.
    HardBall,
    /// 132 to 143 °C.
    SoftCrack,
    /// 149 to 154 °C.
    HardCrack,
    /// 170 °C.
    LightCaramel,
    /// 180 to 182 °C.
    MediumCaramel,
    /// 188 to 190 °C.
    DarkCaramel,
}

impl Stage {
    /// Every stage, the coolest first.
    pub const ALL: [Self; 9] = [
        Self::Thread,
        Self::SoftBall,
        Self::FirmBall,
        Self::HardBall,
        Self::SoftCrack,
        Self::HardCrack,
        Self::LightCaramel,
        Self::MediumCaramel,
        Self::DarkCaramel,
    ];

    /// What the trade calls it.
    pub fn name(self) -> &'static str {
        match self {
            Self::Thread => "thread",
            Self::SoftBall => "soft ball",
            Self::FirmBall => "firm ball",
            Self::HardBall => "hard ball",
            Self::SoftCrack => "soft crack",
            Self::HardCrack => "hard crack",
            Self::LightCaramel => "light caramel",
            Self::MediumCaramel => "medium caramel",
            Self::DarkCaramel => "dark caramel",
        }
    }

    /// At sea level, in degrees Celsius.
    ///
    /// Source: sugar stages in "On Food and Cooking". Other charts differ by some 3 degrees.
    fn celsius(self) -> (u8, u8) {
        match self {
            Self::Thread => (102, 113),
            Self::SoftBall => (113, 116),
            Self::FirmBall => (118, 121),
            Self::HardBall => (121, 130),
            Self::SoftCrack => (132, 143),
            Self::HardCrack => (149, 154),
            Self::LightCaramel => (170, 170),
            Self::MediumCaramel => (180, 182),
            Self::DarkCaramel => (188, 190),
        }
    }

    /// From what temperature to what the stage lasts at an altitude: 1 °C less for every 305 m
    /// above the sea (same source). From 0 to 10,000 feet, which is as far as the published
    /// figures on boiling by altitude go.
    pub fn range_at(self, altitude: &Length) -> Result<StageRange, DoughError> {
        let less = interval(altitude_degrees(altitude)?, TemperatureUnit::Celsius);
        let (from, to) = self.celsius();
        Ok(StageRange {
            stage: self,
            from: Temperature::of_celsius(from) - less.clone(),
            to: Temperature::of_celsius(to) - less,
            source: sources::STAGES,
            caution: HOT_SUGAR_CAUTION,
        })
    }
}

/// A stage with its temperatures at an altitude.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StageRange {
    /// The stage.
    pub stage: Stage,
    /// Where it begins.
    pub from: Temperature,
    /// Where it ends.
    pub to: Temperature,
    /// Where the stages are published.
    pub source: &'static str,
    /// To be shown with the figures.
    pub caution: &'static str,
}

/// What a thermometer in cooked sugar says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StageReading {
    /// The stages that the temperature belongs to: one, two where one ends as the next begins,
    /// none between two stages.
    pub at: Vec<Stage>,
    /// The last stage that is over.
    pub passed: Option<Stage>,
    /// The next stage to come.
    pub next: Option<Stage>,
    /// Where the stages are published.
    pub source: &'static str,
    /// To be shown with the figures.
    pub caution: &'static str,
}

/// The stage of cooked sugar at a temperature and an altitude, by the ranges of
/// [`Stage::range_at`]. At sea level from 102 to 190 °C.
pub fn stage_at(temperature: &Temperature, altitude: &Length) -> Result<StageReading, DoughError> {
    let ranges: Vec<StageRange> =
        Stage::ALL.iter().map(|stage| stage.range_at(altitude)).collect::<Result<_, _>>()?;
    covered(temperature, &ranges)?;
    let at = |range: &&StageRange| (&range.from..=&range.to).contains(&temperature);
    Ok(StageReading {
        at: ranges.iter().filter(at).map(|range| range.stage).collect(),
        passed: ranges.iter().rev().find(|r| r.to < *temperature).map(|r| r.stage),
        next: ranges.iter().find(|r| r.from > *temperature).map(|r| r.stage),
        source: sources::STAGES,
        caution: HOT_SUGAR_CAUTION,
    })
}

fn covered(temperature: &Temperature, ranges: &[StageRange]) -> Result<(), DoughError> {
    let (Some(first), Some(last)) = (ranges.first(), ranges.last()) else { return Ok(()) };
    if (&first.from..=&last.to).contains(&temperature) {
        return Ok(());
    }
    Err(DoughError::OutOfRange {
        what: "sugar's temperature",
        value: shown::temperature(temperature),
        low: shown::temperature(&first.from),
        high: shown::temperature(&last.to),
        source_title: sources::STAGES,
    })
}

/// By how many degrees Celsius an altitude lowers every stage.
fn altitude_degrees(altitude: &Length) -> Result<Exact, DoughError> {
    let metres = altitude.millimetres() / Exact::from(1000);
    let top = Exact::from(3048);
    if metres < Exact::from(0) || metres > top {
        return Err(DoughError::OutOfRange {
            what: "altitude",
            value: format!("{} m", shown::number(&metres)),
            low: "0".to_owned(),
            high: "3048 m".to_owned(),
            source_title: sources::ALTITUDE,
        });
    }
    Ok(metres / Exact::from(305))
}
