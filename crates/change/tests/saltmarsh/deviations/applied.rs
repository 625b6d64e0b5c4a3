//! What a deviation makes of a recipe.

use std::sync::LazyLock;

use chablon_change::{CannotApply, apply};
use chablon_model::{Departure, DeviationLimits, DocumentContent, Measure, Moment, Recipe, Uses};
use proptest::prelude::*;
use test_case::test_case;

use super::{deviation, exactly, instead, recipe, take, times};
use crate::book::edited;

static BOOK: LazyLock<Vec<DocumentContent>> = LazyLock::new(|| edited(&[]));

fn bavarois() -> Recipe {
    recipe(&BOOK, "honey-bavarois")
}

fn refused(departures: Vec<Departure>) -> String {
    apply(&deviation("honey-bavarois", departures), &bavarois()).unwrap_err().to_string()
}

fn control(measure: Measure) -> chablon_model::Control {
    chablon_model::Control { measure, target: None, min: None, max: None, critical: false }
}

#[test]
fn a_line_takes_another_amount() {
    let departures = vec![take(2, "honey-acacia", times("0.9"))];
    let made = apply(&deviation("honey-bavarois", departures), &bavarois()).unwrap();
    let mut expected = bavarois();
    expected.lines[1].amount = chablon_model::Amount::Mass("153 g".parse().unwrap());
    assert_eq!(made, expected);
}

#[test]
fn a_line_takes_another_ingredient() {
    let departures = vec![instead(4, "cream-35", "milk-whole", exactly("1 kg"))];
    let mut asked = deviation("honey-bavarois", departures);
    let tolerance = Some("5 %".parse().unwrap());
    asked.limits = DeviationLimits { tolerance, max_share: None };
    let made = apply(&asked, &bavarois()).unwrap();
    let mut expected = bavarois();
    expected.lines[3].uses = Uses::Ingredient("milk-whole".parse().unwrap());
    expected.lines[3].amount = chablon_model::Amount::Mass("1 kg".parse().unwrap());
    expected.lines[3].tolerance = tolerance;
    assert_eq!(made, expected);
}

#[test]
fn a_step_is_done_and_watched_otherwise() {
    let mut text = bavarois().steps[1].text.clone();
    text.0.values_mut().for_each(|text| text.push_str(" Cold bowl."));
    let mut watched = bavarois().steps[1].controls[0].clone();
    watched.max = None;
    let whip = || "whip".parse().unwrap();
    let departures = vec![
        Departure::Wording { step: whip(), to: text.clone() },
        Departure::Control { step: whip(), number: 1, to: watched.clone() },
    ];
    let made = apply(&deviation("honey-bavarois", departures), &bavarois()).unwrap();
    let mut expected = bavarois();
    expected.steps[1].text = text;
    expected.steps[1].controls[0] = watched;
    assert_eq!(made, expected);
}

#[test]
fn what_can_t_be_laid_over_is_refused_with_a_reason() {
    assert_eq!(refused(vec![]), "it names nothing that is made otherwise; name a line or a step");
    assert_eq!(
        refused(vec![take(3, "honey-acacia", times("0.9"))]),
        "line 3 doesn't take `honey-acacia`; correct the number of the line"
    );
    assert_eq!(
        refused(vec![take(0, "honey-acacia", times("0.9"))]),
        "line 0 doesn't take `honey-acacia`; correct the number of the line"
    );
    assert_eq!(
        refused(vec![take(2, "honey-acacia", times("0.9")), take(2, "honey-acacia", times("1"))]),
        "line 2 departs twice; say once what it takes"
    );
    assert_eq!(
        refused(vec![take(2, "honey-acacia", times("-1"))]),
        "line 2 can't take less than nothing; give an amount of 0 or more"
    );
    let sift = || "sift".parse().unwrap();
    let none = Departure::Wording { step: sift(), to: chablon_model::Text::default() };
    assert_eq!(refused(vec![none]), "there is no step `sift`; correct its name");
    let whip = |number, measure| Departure::Control {
        step: "whip".parse().unwrap(),
        number,
        to: control(measure),
    };
    assert_eq!(
        refused(vec![whip(2, Measure::Temperature)]),
        "step `whip` has no control 2; correct its number"
    );
    assert_eq!(
        refused(vec![whip(1, Measure::Time)]),
        "control 1 of step `whip` watches temperature; it can't watch time instead"
    );
}

#[test]
fn an_amount_to_taste_has_no_multiple() {
    let asked = deviation("praline-cream", vec![take(4, "fleur-de-sel", times("0.5"))]);
    let error = apply(&asked, &recipe(&BOOK, "praline-cream")).unwrap_err();
    assert_eq!(error.to_string(), "line 4 can't take 0.5 times what it says; give its amount");
}

#[test]
fn it_is_laid_over_its_own_recipe_alone() {
    let asked = deviation("honey-biscuit", vec![take(2, "honey-acacia", times("0.9"))]);
    assert!(matches!(apply(&asked, &bavarois()), Err(CannotApply::OtherRecipe { .. })));
}

#[test_case(200, 200; "no time at all")]
#[test_case(200, 100; "an end before the start")]
fn it_has_a_time(from: i64, until: i64) {
    let mut asked = deviation("honey-bavarois", vec![take(2, "honey-acacia", times("0.9"))]);
    (asked.from, asked.until) = (Moment(from), Moment(until));
    assert_eq!(apply(&asked, &bavarois()), Err(CannotApply::NoTime));
}

proptest! {
    #[test]
    fn nothing_changes_but_what_it_names(
        at in any::<prop::sample::Index>(),
        line in any::<prop::sample::Index>(),
        tenths in 0..50_i64,
    ) {
        let recipes: Vec<&Recipe> = BOOK
            .iter()
            .filter_map(|one| match one {
                DocumentContent::Recipe(recipe) => Some(recipe),
                _ => None,
            })
            .collect();
        let standard = *at.get(&recipes);
        let index = line.index(standard.lines.len());
        let reference = chablon_model::LineRef {
            number: u32::try_from(index + 1).unwrap(),
            uses: standard.lines[index].uses.clone(),
        };
        let times = chablon_quantity::Number::decimal(tenths, -1).unwrap();
        let to = chablon_model::NewAmount::Times(times);
        let departure = Departure::Amount { line: reference, to };
        let asked = deviation(standard.id.as_str(), vec![departure]);
        if let Ok(mut made) = apply(&asked, standard) {
            made.lines[index].amount = standard.lines[index].amount.clone();
            prop_assert_eq!(&made, standard);
        } else {
            let to_taste = standard.lines[index].amount == chablon_model::Amount::ToTaste;
            prop_assert!(to_taste, "only what is to taste has no multiple");
        }
    }
}
