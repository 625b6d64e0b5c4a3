//! What a deviation means, and what stands against it.

use chablon_change::{Assessment, Class, Edition, What, assess};
use chablon_model::{Departure, Deviation, DeviationLimits, DocumentContent, Grant};
use insta::assert_snapshot;

use super::{CASHEW_DRINK, deviation, exactly, grant, instead, recipe, take, times};
use crate::book::{day, edited};

fn assessed(documents: &[DocumentContent], deviation: &Deviation) -> Assessment {
    assess(deviation, &Edition::new(documents), day()).unwrap()
}

fn objections(assessment: &Assessment, grant: &Grant) -> String {
    let all: Vec<String> = assessment.objections(grant).iter().map(ToString::to_string).collect();
    all.join("\n")
}

fn acknowledging(allergens: &[&str]) -> Grant {
    let allergens = allergens.iter().map(|code| code.parse().unwrap()).collect();
    Grant { allergens, ..grant() }
}

#[test]
fn it_shows_figures_before_and_after_at_its_own_site_alone() {
    let documents = edited(&[]);
    let asked = deviation("honey-bavarois", vec![take(2, "honey-acacia", times("0.9"))]);
    let assessment = assessed(&documents, &asked);
    assert_eq!(assessment.comparison.class(), Some(Class::Recipe));
    assert!(!assessment.needs_acknowledgement());
    assert_eq!(objections(&assessment, &grant()), "");
    let costs: Vec<&str> = assessment
        .comparison
        .changes()
        .iter()
        .filter_map(|change| match &change.what {
            What::Cost(cost) => Some(cost.site.as_str()),
            _ => None,
        })
        .collect();
    assert_eq!(costs, ["harbour"]);
}

#[test]
fn an_allergen_never_passes_silently() {
    let documents = edited(&[CASHEW_DRINK]);
    let departures = vec![instead(1, "milk-whole", "cashew-drink", times("1"))];
    let assessment = assessed(&documents, &deviation("creme-anglaise", departures));
    assert!(assessment.needs_acknowledgement());
    assert_snapshot!(objections(&assessment, &grant()), @"the grant doesn't acknowledge: recipe/pear-buckwheat-entremet: nuts.cashew: contains instead of free, because of `cashew-drink` in honey-bavarois -> creme-anglaise");
    assert_eq!(
        objections(&assessment, &acknowledging(&["milk"])),
        objections(&assessment, &grant())
    );
    assert_eq!(objections(&assessment, &acknowledging(&["nuts.cashew"])), "");
    assert_eq!(objections(&assessment, &acknowledging(&["nuts"])), "", "a group covers its kinds");
}

#[test]
fn an_allergen_that_the_piece_has_anyway_counts_for_the_component() {
    let documents = edited(&[]);
    let departures = vec![instead(4, "cream-35", "almond-ground", exactly("1.12 kg"))];
    let assessment = assessed(&documents, &deviation("honey-bavarois", departures));
    assert_snapshot!(objections(&assessment, &grant()), @"
    the grant doesn't acknowledge: recipe/honey-bavarois: nuts.almond: contains instead of free, because of `almond-ground`
    the grant doesn't acknowledge: recipe/honey-bavarois: nuts.hazelnut: may-contain instead of free, because of `almond-ground`
    ");
    assert!(!objections(&assessment, &acknowledging(&["nuts.almond"])).is_empty());
    assert_eq!(objections(&assessment, &acknowledging(&["nuts.almond", "nuts.hazelnut"])), "");
}

#[test]
fn what_isn_t_known_counts_as_much() {
    let unknown = CASHEW_DRINK.2.replace("other_allergens = \"free\"\n", "");
    let documents = edited(&[(CASHEW_DRINK.0, "", &unknown)]);
    let departures = vec![instead(1, "milk-whole", "cashew-drink", times("1"))];
    let assessment = assessed(&documents, &deviation("creme-anglaise", departures));
    assert!(!objections(&assessment, &acknowledging(&["nuts.cashew"])).is_empty());
}

#[test]
fn a_critical_limit_never_passes_silently() {
    let documents = edited(&[]);
    let cook = &recipe(&documents, "creme-anglaise").steps[2];
    let watched = |min: &str| {
        let mut control = cook.controls[0].clone();
        control.min = Some(chablon_model::SetPoint::Temperature(min.parse().unwrap()));
        let departures = vec![Departure::Control { step: cook.id.clone(), number: 1, to: control }];
        assessed(&documents, &deviation("creme-anglaise", departures))
    };
    let looser = watched("70 °C");
    assert_snapshot!(objections(&looser, &grant()), @"the grant doesn't acknowledge: critical limit loosened at `cook` of `creme-anglaise`: temperature 83 °C (70 °C to 85 °C) instead of 83 °C (82 °C to 85 °C)");
    assert_eq!(objections(&looser, &Grant { critical_limits: true, ..grant() }), "");
    assert_eq!(objections(&watched("83 °C"), &grant()), "", "a tighter limit is no concern");
}

#[test]
fn no_leave_covers_what_can_t_be_told() {
    let documents = edited(&[]);
    let line = chablon_model::LineRef {
        number: 3,
        uses: chablon_model::Uses::Component("gelatine-mass".parse().unwrap()),
    };
    let departures = vec![Departure::Amount { line, to: times("10") }];
    let assessment = assessed(&documents, &deviation("honey-bavarois", departures));
    let all = Grant { critical_limits: true, ..acknowledging(chablon_model::Allergen::codes()) };
    assert_snapshot!(objections(&assessment, &all), @"
    no leave covers it: recipe/honey-bavarois: can't tell any more what is in it, weighs and costs: `honey-bavarois` can't be computed: the yield implies a loss of 39.70 % that no loss states
    no leave covers it: recipe/pear-buckwheat-entremet: can't tell any more what is in it, weighs and costs: `pear-buckwheat-entremet` can't be computed: can't be computed because of `honey-bavarois`
    ");
}

#[test]
fn limits_hold_against_the_grant_itself() {
    let documents = edited(&[]);
    let mut asked = deviation("honey-bavarois", vec![take(2, "honey-acacia", times("1.2"))]);
    asked.limits = DeviationLimits { max_share: Some("8 %".parse().unwrap()), tolerance: None };
    assert_snapshot!(objections(&assessed(&documents, &asked), &grant()), @"line 2 (`honey-acacia`) is 8.17 % of the batch, and may be 8.00 %");
    asked.limits.max_share = Some("8.5 %".parse().unwrap());
    assert_eq!(objections(&assessed(&documents, &asked), &grant()), "");
}
