//! A deviation when the standard beneath it changes.

use chablon_change::{Conflict, Edition, Fit, ThreeWay, Verdict, fit, three_way};
use chablon_model::{Decision, Departure, Deviation, DocumentContent, Text, Uses};
use insta::assert_snapshot;

use super::{CASHEW_DRINK, deviation, exactly, instead, recipe, revision, take, times};
use crate::book::{Edit, day, edited};

const FILE: &str = "recipes/honey-bavarois.toml";
const BAVAROIS: &str = "honey-bavarois";
const HONEY: &str =
    "[[line]]\ningredient = \"honey-acacia\"\namount = \"170 g\"\nstep = \"base\"\n";
const CREAM: &str = "[[line]]\ningredient = \"cream-35\"\namount = \"1.12 kg\"\nstep = \"whip\"\n";

fn fits(departure: Departure, edits: &[Edit<'_>]) -> Fit {
    let (old, new) = (edited(&[]), edited(edits));
    let asked = deviation(BAVAROIS, vec![departure]);
    fit(&asked, &recipe(&old, BAVAROIS), &recipe(&new, BAVAROIS)).remove(0)
}

fn honey() -> Uses {
    Uses::Ingredient("honey-acacia".parse().unwrap())
}

#[test]
fn a_line_that_only_moved_is_found_again() {
    let moved = format!("{CREAM}\n{HONEY}");
    let edits = [(FILE, HONEY, ""), (FILE, CREAM, moved.as_str())];
    let departure = take(2, "honey-acacia", times("0.9"));
    assert_eq!(fits(departure, &edits), Fit::Applies(take(4, "honey-acacia", times("0.9"))));
}

#[test]
fn a_change_elsewhere_leaves_it_as_it_is() {
    let edits = [(FILE, "174 g", "160 g"), (FILE, "residue = \"30 g\"", "residue = \"35 g\"")];
    let departure = take(2, "honey-acacia", exactly("150 g"));
    assert_eq!(fits(departure.clone(), &edits), Fit::Applies(departure));
}

#[test]
fn a_line_that_is_gone_conflicts() {
    let edits = [(FILE, HONEY, "")];
    let gone = Fit::Conflicts(Conflict::LineGone { uses: honey() });
    assert_eq!(fits(take(2, "honey-acacia", times("0.9")), &edits), gone);
    let replaced = instead(2, "honey-acacia", "invert-sugar", times("1"));
    assert_eq!(fits(replaced, &edits), gone);
}

#[test]
fn a_line_that_takes_something_else_conflicts() {
    let edits = [(FILE, "\"honey-acacia\"", "\"honey-buckwheat\"")];
    let by = Uses::Ingredient("honey-buckwheat".parse().unwrap());
    let conflict = Conflict::LineReplaced { uses: honey(), by };
    assert_eq!(conflict.to_string(), "the line of `honey-acacia` takes `honey-buckwheat` now");
    let departure = take(2, "honey-acacia", times("0.9"));
    assert_eq!(fits(departure, &edits), Fit::Conflicts(conflict));
}

#[test]
fn another_amount_conflicts_unless_a_factor_says_how_to_follow() {
    let edits = [(FILE, "170 g", "160 g")];
    let conflict = Fit::Conflicts(Conflict::AmountChanged { uses: honey() });
    assert_eq!(fits(take(2, "honey-acacia", times("0.9")), &edits), conflict);
    assert_eq!(fits(take(2, "honey-acacia", exactly("150 g")), &edits), conflict);
    let exact = instead(2, "honey-acacia", "invert-sugar", exactly("150 g"));
    assert_eq!(fits(exact, &edits), conflict);
    let factor = instead(2, "honey-acacia", "invert-sugar", times("0.9"));
    assert_eq!(fits(factor.clone(), &edits), Fit::Applies(factor));
}

#[test]
fn a_line_divided_in_two_conflicts() {
    let two = format!("{}{}", HONEY.replace("170 g", "100 g"), HONEY.replace("170 g", "70 g"));
    let edits = [(FILE, HONEY, two.as_str())];
    let divided = Fit::Conflicts(Conflict::LineDivided { uses: honey() });
    assert_eq!(fits(take(2, "honey-acacia", times("0.9")), &edits), divided);
}

#[test]
fn a_line_that_follows_the_batch_otherwise_conflicts() {
    let fixed = HONEY.replace("step", "scaling = \"per-batch\"\nstep");
    let edits = [(FILE, HONEY, fixed.as_str())];
    let conflict = Fit::Conflicts(Conflict::LineChanged { uses: honey() });
    assert_eq!(fits(take(2, "honey-acacia", times("0.9")), &edits), conflict);
}

#[test]
fn what_the_new_standard_says_itself_is_moot() {
    let edits = [(FILE, "170 g", "0.153 kg")];
    assert_eq!(fits(take(2, "honey-acacia", times("0.9")), &edits), Fit::Moot);
    assert_eq!(fits(take(2, "honey-acacia", exactly("153 g")), &edits), Fit::Moot);
    let edits = [(FILE, "\"honey-acacia\"", "\"invert-sugar\"")];
    assert_eq!(fits(instead(2, "honey-acacia", "invert-sugar", times("1")), &edits), Fit::Moot);
}

fn says(text: &str) -> Departure {
    let text = [("en".parse().unwrap(), text.to_owned())].into();
    Departure::Wording { step: "whip".parse().unwrap(), to: Text(text) }
}

#[test]
fn a_step_is_followed_by_what_it_says() {
    let other = [(FILE, "Whip the cold cream to soft peaks.", "Whip the cream.")];
    let conflict = Conflict::WordingChanged { step: "whip".parse().unwrap() };
    assert_eq!(fits(says("Whip by hand."), &other), Fit::Conflicts(conflict));
    let elsewhere = [(FILE, "Use at once.", "Use now.")];
    assert_eq!(fits(says("Whip by hand."), &elsewhere), Fit::Applies(says("Whip by hand.")));
}

#[test]
fn a_control_is_followed_by_what_it_watches() {
    let standard = recipe(&edited(&[]), BAVAROIS);
    let mut to = standard.steps[1].controls[0].clone();
    to.max = Some(chablon_model::SetPoint::Temperature("8 °C".parse().unwrap()));
    let departure = Departure::Control { step: "whip".parse().unwrap(), number: 1, to };
    let step = || "whip".parse().unwrap();
    let moved = [(FILE, "min = \"2 °C\"\nmax = \"6 °C\"", "min = \"1 °C\"\nmax = \"6 °C\"")];
    let conflict = Fit::Conflicts(Conflict::ControlChanged { step: step() });
    assert_eq!(fits(departure.clone(), &moved), conflict);
    let moot = [(FILE, "max = \"6 °C\"", "max = \"8 °C\"")];
    assert_eq!(fits(departure.clone(), &moot), Fit::Moot);
    let control = "[[step.control]]\nmeasure = \"temperature\"\ntarget = \"4 °C\"\n\
                   min = \"2 °C\"\nmax = \"6 °C\"\n";
    let gone = Fit::Conflicts(Conflict::ControlGone { step: step() });
    assert_eq!(fits(departure.clone(), &[(FILE, control, "")]), gone);
    let timed = format!("[[step.control]]\nmeasure = \"time\"\nmax = \"6 min\"\n\n{control}");
    let Departure::Control { step, to, .. } = departure.clone() else { unreachable!() };
    let second = Departure::Control { step, number: 2, to };
    assert_eq!(fits(departure, &[(FILE, control, timed.as_str())]), Fit::Applies(second));
}

#[test]
fn a_renamed_step_is_found_and_a_removed_one_isn_t() {
    let renamed = [
        (FILE, "id = \"whip\"", "id = \"whip-cream\""),
        (FILE, CREAM, &CREAM.replace("\"whip\"", "\"whip-cream\"") as &str),
        (FILE, "after = [\"base\", \"whip\"]", "after = [\"base\", \"whip-cream\"]"),
    ];
    let Departure::Wording { to, .. } = says("Whip by hand.") else { unreachable!() };
    let fit = Departure::Wording { step: "whip-cream".parse().unwrap(), to };
    assert_eq!(fits(says("Whip by hand."), &renamed), Fit::Applies(fit));
}

fn put(deviation: &Deviation, new: &[DocumentContent]) -> ThreeWay {
    let old = edited(&[CASHEW_DRINK]);
    let (old, new) = (Edition::new(&old), Edition::new(new));
    three_way(deviation, &old, &new, &revision(BAVAROIS, 2), day()).unwrap()
}

#[test]
fn what_still_applies_is_put_to_the_chef_again() {
    let new = edited(&[CASHEW_DRINK, (FILE, "174 g", "160 g"), (FILE, "1.12 kg", "1.136 kg")]);
    let departures = vec![
        take(2, "honey-acacia", times("0.9")),
        instead(4, "cream-35", "cashew-drink", times("1")),
    ];
    let asked = deviation(BAVAROIS, departures);
    let put = put(&asked, &new);
    assert_eq!(put.verdict(), Verdict::Applies);
    let again = put.rebased(&asked, &revision(BAVAROIS, 2));
    assert_eq!(again.decision, Decision::Asked);
    assert_eq!((&again.based_on, again.departures.len()), (&revision(BAVAROIS, 2), 2));
    let assessment = put.assessment.as_ref().unwrap();
    assert!(assessment.needs_acknowledgement(), "the allergen is looked at anew");
    let told = |comparison: &chablon_change::Comparison| {
        let all: Vec<String> = comparison.changes().iter().map(ToString::to_string).collect();
        all.into_iter().filter(|one| one.contains("bavarois: ")).collect::<Vec<_>>().join("\n")
    };
    assert_snapshot!(told(&put.standard), @"
    recipe/honey-bavarois: `gelatine-mass` 160 g instead of 174 g, -14 g (6.49 % of the batch instead of 7.06 %)
    recipe/honey-bavarois: `cream-35` 1.136 kg instead of 1.12 kg, +16 g (46.07 % of the batch instead of 45.45 %)
    ");
    assert_snapshot!(told(put.site.as_ref().unwrap()), @"
    recipe/honey-bavarois: `gelatine-mass` 160 g instead of 174 g, -14 g (6.53 % of the batch instead of 7.11 %)
    recipe/honey-bavarois: `cashew-drink` 1.136 kg instead of 1.12 kg, +16 g (46.39 % of the batch instead of 45.77 %)
    ");
    assert_snapshot!(told(&assessment.comparison), @"
    recipe/honey-bavarois: `honey-acacia` 153 g instead of 170 g, -17 g (6.25 % of the batch instead of 6.89 %)
    recipe/honey-bavarois: `cashew-drink` 1.136 kg instead of `cream-35` 1.136 kg (46.39 % of the batch instead of 46.07 %)
    ");
}

#[test]
fn what_is_partly_moot_keeps_the_rest() {
    let new = edited(&[CASHEW_DRINK, (FILE, "170 g", "153 g")]);
    let departures =
        vec![take(2, "honey-acacia", times("0.9")), take(4, "cream-35", exactly("1.13 kg"))];
    let asked = deviation(BAVAROIS, departures);
    let put = put(&asked, &new);
    assert_eq!(put.fits[0], Fit::Moot);
    let again = put.rebased(&asked, &revision(BAVAROIS, 2));
    assert_eq!(again.departures, [take(4, "cream-35", exactly("1.13 kg"))]);
}

#[test]
fn what_is_moot_leaves_nothing_to_decide() {
    let new = edited(&[CASHEW_DRINK, (FILE, "170 g", "153 g")]);
    let put = put(&deviation(BAVAROIS, vec![take(2, "honey-acacia", times("0.9"))]), &new);
    assert_eq!(put.verdict(), Verdict::Moot);
    assert_eq!(put.assessment, None);
    assert!(put.site.unwrap().is_empty(), "the site makes what the standard says");
}

#[test]
fn a_conflict_waits_for_someone_to_say_what_is_meant() {
    let new = edited(&[CASHEW_DRINK, (FILE, "170 g", "160 g")]);
    let put = put(&deviation(BAVAROIS, vec![take(2, "honey-acacia", times("0.9"))]), &new);
    assert_eq!(put.verdict(), Verdict::Conflicts);
    assert_eq!((put.site.as_ref(), put.assessment.as_ref()), (None, None));
    let conflicts: Vec<String> = put.conflicts().map(ToString::to_string).collect();
    assert_eq!(conflicts, ["the line of `honey-acacia` takes another amount now"]);
}

#[test]
fn a_recipe_that_is_gone_conflicts() {
    let mut new = edited(&[CASHEW_DRINK]);
    new.retain(|one| one.key() != (&BAVAROIS.parse::<chablon_model::RecipeId>().unwrap()).into());
    let put = put(&deviation(BAVAROIS, vec![take(2, "honey-acacia", times("0.9"))]), &new);
    let conflicts: Vec<String> = put.conflicts().map(ToString::to_string).collect();
    assert_eq!(conflicts, ["there is no standard of `honey-bavarois` any more"]);
}
