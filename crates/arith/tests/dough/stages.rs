//! Stages of cooked sugar.

use chablon_arith::dough::{HOT_SUGAR_CAUTION, Stage, stage_at};
use chablon_quantity::{Length, LengthUnit, Millimetres, Number, Unit};
use proptest::prelude::*;
use test_case::test_case;

use crate::{c, exact, tenths};

fn metres(text: &str) -> Length {
    LengthUnit::Metre.quantity(&text.parse::<Number>().unwrap())
}

/// Source: sugar stages in "On Food and Cooking".
#[test_case(Stage::Thread, "102", "113")]
#[test_case(Stage::SoftBall, "113", "116")]
#[test_case(Stage::FirmBall, "118", "121")]
#[test_case(Stage::HardBall, "121", "130")]
#[test_case(Stage::SoftCrack, "132", "143")]
#[test_case(Stage::HardCrack, "149", "154")]
#[test_case(Stage::LightCaramel, "170", "170")]
#[test_case(Stage::MediumCaramel, "180", "182")]
#[test_case(Stage::DarkCaramel, "188", "190")]
fn mcgee_sugar_stages(stage: Stage, from: &str, to: &str) {
    let range = stage.range_at(&metres("0")).unwrap();
    assert_eq!((range.from, range.to), (c(from), c(to)));
    assert_eq!(range.caution, HOT_SUGAR_CAUTION);
    // Same source: 1 °C less for every 305 m above the sea.
    let high = stage.range_at(&metres("610")).unwrap();
    assert_eq!(high.from, c(&(exact(from) - exact("2")).to_string()));
}

#[test]
fn a_temperature_is_in_a_stage_or_between_two() {
    let at = |celsius| stage_at(&c(celsius), &metres("0")).unwrap();
    let reading = at("120");
    assert_eq!(reading.at, [Stage::FirmBall]);
    assert_eq!((reading.passed, reading.next), (Some(Stage::SoftBall), Some(Stage::HardBall)));
    assert_eq!(at("121").at, [Stage::FirmBall, Stage::HardBall]);
    let between = at("160");
    assert_eq!(between.at, []);
    assert_eq!(
        (between.passed.map(Stage::name), between.next.map(Stage::name)),
        (Some("hard crack"), Some("light caramel"))
    );
    assert_eq!((at("102").passed, at("190").next), (None, None));
    assert_eq!(between.caution, HOT_SUGAR_CAUTION);
}

#[test]
fn a_drop_is_at_its_stage_sooner_on_a_mountain() {
    assert_eq!(stage_at(&c("117"), &metres("0")).unwrap().at, []);
    assert_eq!(stage_at(&c("117"), &metres("305")).unwrap().at, [Stage::FirmBall]);
}

#[test]
fn nothing_is_said_outside_the_stages() {
    let error = stage_at(&c("101.9"), &metres("0")).unwrap_err();
    assert_eq!(
        error.to_string(),
        "the sugar's temperature is 101.9 °C (215.42 °F), outside the published range of 102 °C \
         (215.6 °F) to 190 °C (374 °F) (McGee, On Food and Cooking: sugar stages)"
    );
    assert!(stage_at(&c("190.1"), &metres("0")).is_err());
    assert!(stage_at(&c("120"), &metres("3048")).is_ok());
    let error = stage_at(&c("120"), &metres("3049")).unwrap_err();
    assert!(error.to_string().starts_with("the altitude is 3049 m, outside"), "{error}");
    assert!(Stage::Thread.range_at(&metres("-1")).is_err());
}

proptest! {
    #[test]
    fn every_reading_lies_between_what_is_passed_and_what_comes(
        celsius in 1_020u32..=1_900, altitude in 0u32..=30_480,
    ) {
        let altitude = Length::of_millimetres(tenths(altitude) * exact("1000"));
        let at = chablon_quantity::Temperature::of_celsius(tenths(celsius));
        if let Ok(reading) = stage_at(&at, &altitude) {
            let ordered: Vec<Stage> =
                reading.passed.into_iter().chain(reading.at).chain(reading.next).collect();
            prop_assert!(ordered.is_sorted());
            for stage in ordered {
                prop_assert!(stage.range_at(&altitude).is_ok());
            }
        }
    }
}
