//! Control points of recipes and of cooling records.

use chablon_book::{AuthoredBook, Files, read};
use chablon_declare::control::{
    ControlPlan, ControlReport, CoolingFailure, Jurisdiction, Limit, Need, POINTS, Role, Severity,
    Uncontrolled, cools_in_time, pasteurises,
};
use chablon_model::Book;
use chablon_quantity::Exact;
use test_case::test_case;

use crate::fixture::{book, exact, id, ingredient, recipe, with};

const MILK: &str = "allergens = { milk = 'contains' }\nother_allergens = 'free'\n[ingredient.content]\nwater = '88 g'\nsugars = '5 g'\nsalt = '0.1 g'";
const EGG: &str = "allergens = { egg = 'contains' }\nother_allergens = 'free'\n[ingredient.content]\nwater = '76 g'\nsugars = '0 g'\nsalt = '0.3 g'";
const SUGAR: &str =
    "other_allergens = 'free'\n[ingredient.content]\nwater = '0 g'\nsugars = '100 g'\nsalt = '0 g'";

fn pantry() -> String {
    ingredient("milk", MILK) + &ingredient("egg", EGG) + &ingredient("sugar", SUGAR)
}

/// A step with its controls: `temperature 82 83 85`, `time 1h - 2h`.
fn step(id: &str, more: &str, controls: &[(&str, [&str; 3])]) -> String {
    use std::fmt::Write;
    let mut text = format!("[[step]]\nid = '{id}'\ntext = {{ en = '{id}' }}\n{more}\n");
    for (measure, points) in controls {
        writeln!(text, "[[step.control]]\nmeasure = '{measure}'").expect("a string");
        for (key, point) in ["min", "target", "max"].into_iter().zip(points) {
            if !point.is_empty() {
                writeln!(text, "{key} = '{point}'").expect("a string");
            }
        }
    }
    text
}

fn celsius(
    min: &'static str,
    target: &'static str,
    max: &'static str,
) -> (&'static str, [&'static str; 3]) {
    ("temperature", [min, target, max])
}

fn storage(condition: &str, keeps: &str) -> String {
    format!("[storage]\ncondition = '{condition}'\nkeeps = '{keeps}'\n")
}

fn custard(more: &str) -> AuthoredBook {
    book(
        &pantry(),
        &[recipe("r", &[("milk", "500 g"), ("egg", "120 g"), ("sugar", "100 g")], more)],
    )
}

fn report(book: &AuthoredBook, plan: &ControlPlan) -> ControlReport {
    with(book, |declarer| declarer.control(&id("r"), plan).expect("a report"))
}

fn food_code() -> ControlPlan {
    ControlPlan::published(Jurisdiction::UsFoodCode)
}

fn found(more: &str) -> Vec<(Role, Severity)> {
    let report = report(&custard(more), &food_code());
    report.findings.iter().map(|one| (one.role, one.severity)).collect()
}

fn cooked() -> String {
    step("cook", "", &[celsius("82 °C", "83 °C", "85 °C")])
}

fn cooled() -> String {
    step("ice", "passive = '30 min'", &[celsius("", "18 °C", "21 °C")])
        + &step("chill", "passive = '2 h'", &[celsius("", "3 °C", "5 °C")])
}

#[test]
fn a_custard_that_is_cooked_cooled_and_kept_cold_has_no_finding() {
    assert_eq!(found(&(cooked() + &cooled() + &storage("chilled", "48 h"))), []);
}

#[test]
fn a_rest_of_twelve_hours_at_ambient_is_a_breach() {
    let rest = step("rest", "passive = '12 h'", &[celsius("", "20 °C", "")]);
    let report = report(
        &custard(&(cooked() + &cooled() + &rest + &storage("chilled", "48 h"))),
        &food_code(),
    );
    let texts: Vec<String> = report.findings.iter().map(ToString::to_string).collect();
    assert_eq!(
        texts,
        ["`r`, step `rest`: 12 h at 20.0 °C. Limit: within 4 h, time as a control, from leaving \
             temperature control (United States (FDA Food Code), 3-501.19, from memory)"]
    );
    assert!(report.findings[0].severity == Severity::Breach);
    assert!(report.cautions.iter().any(|one| one.contains("local law")));
    assert!(matches!(report.needs[0].1, Need::Needed(_)));
    // Just within: four hours are allowed.
    let rest = step("rest", "passive = '4 h'", &[celsius("", "20 °C", "")]);
    assert_eq!(found(&(cooked() + &cooled() + &rest + &storage("chilled", "48 h"))), []);
}

#[test]
fn a_rest_whose_own_limits_allow_too_much_is_a_risk() {
    let rest = step("rest", "", &[celsius("", "20 °C", ""), ("time", ["1 h", "2 h", "5 h"])]);
    assert_eq!(found(&(cooked() + &cooled() + &rest)), [(Role::Between, Severity::Risk)]);
    let rest = step("rest", "", &[celsius("", "20 °C", ""), ("time", ["5 h", "6 h", "7 h"])]);
    assert_eq!(found(&(cooked() + &cooled() + &rest)), [(Role::Between, Severity::Breach)]);
}

#[test]
fn a_long_step_without_a_temperature_cannot_be_checked() {
    let rest = step("rest", "passive = '12 h'", &[]);
    assert_eq!(found(&(cooked() + &cooled() + &rest)), [(Role::Between, Severity::Unstated)]);
    let rest = step("rest", "passive = '3 h'", &[]);
    assert_eq!(found(&(cooked() + &cooled() + &rest)), []);
}

#[test]
fn a_step_that_goes_to_the_cold_or_the_hot_side_is_on_its_way() {
    let cold = step("mature", "passive = '12 h'", &[celsius("", "4 °C", "5 °C")]);
    let hot = step("hold", "passive = '12 h'", &[celsius("58 °C", "", "65 °C")]);
    assert_eq!(found(&(cooked() + &cooled() + &cold)), []);
    assert_eq!(found(&(cooked() + &hot + &cooled())), []);
}

/// FDA Food Code, 3-501.14.
#[test_case("1 h", "4 h" => Vec::<(Role, Severity)>::new())]
#[test_case("2 h", "4 h" => Vec::<(Role, Severity)>::new(); "both limits are allowed")]
#[test_case("121 min", "1 h" => vec![(Role::CoolFirst, Severity::Breach)])]
#[test_case("1 h", "301 min" => vec![(Role::CoolTotal, Severity::Breach)])]
#[test_case("3 h", "4 h" => vec![(Role::CoolFirst, Severity::Breach), (Role::CoolTotal, Severity::Breach)])]
fn cooling_in_two_stages(first: &'static str, second: &'static str) -> Vec<(Role, Severity)> {
    let ice = step("ice", "", &[celsius("", "18 °C", "21 °C"), ("time", ["", first, ""])]);
    let chill = step("chill", "", &[celsius("", "3 °C", "5 °C"), ("time", ["", second, ""])]);
    found(&(cooked() + &ice + &chill + &storage("chilled", "2 d")))
}

#[test]
fn cooling_whose_own_limit_allows_too_much_is_a_risk() {
    let ice = step("ice", "", &[celsius("", "18 °C", "21 °C"), ("time", ["", "45 min", "3 h"])]);
    let chill = step("chill", "passive = '1 h'", &[celsius("", "3 °C", "5 °C")]);
    assert_eq!(found(&(cooked() + &ice + &chill)), [(Role::CoolFirst, Severity::Risk)]);
}

#[test]
fn a_long_step_may_reach_its_temperature_early() {
    let mature = step("mature", "passive = '12 h'", &[celsius("", "4 °C", "5 °C")]);
    let both = [(Role::CoolFirst, Severity::Risk), (Role::CoolTotal, Severity::Risk)];
    assert_eq!(found(&(cooked() + &mature)), both);
    // A time that is stated for 5 °C isn't one for 21 °C.
    let timed = step("chill", "", &[celsius("", "4 °C", "5 °C"), ("time", ["3 h", "", ""])]);
    assert_eq!(found(&(cooked() + &timed)), [(Role::CoolFirst, Severity::Risk)]);
    // What comes before the last step has passed for certain.
    let wait = step("wait", "passive = '150 min'", &[]);
    assert_eq!(found(&(cooked() + &wait + &cooled())), [(Role::CoolFirst, Severity::Breach)]);
}

#[test]
fn cooling_that_is_never_stated_cannot_be_checked() {
    let both = [(Role::CoolFirst, Severity::Unstated), (Role::CoolTotal, Severity::Unstated)];
    assert_eq!(found(&(cooked() + &storage("chilled", "48 h"))), both);
    // A piece that is baked through says nothing of its cooling, nor does what stays at ambient.
    let baked = step("bake", "passive = '20 min'", &[celsius("", "180 °C", "")]);
    assert_eq!(found(&(baked + &storage("frozen", "30 d"))), []);
    assert_eq!(found(&(cooked() + &storage("ambient", "2 h"))), []);
}

#[test]
fn the_last_temperature_of_what_is_kept_cold_is_the_cold_one() {
    let warm = step("chill", "passive = '2 h'", &[celsius("", "6 °C", "8 °C")]);
    let ice = step("ice", "passive = '30 min'", &[celsius("", "4 °C", "5 °C")]);
    let kept = storage("chilled", "48 h");
    assert_eq!(found(&(cooked() + &ice + &warm + &kept)), [(Role::Cold, Severity::Breach)]);
    let loose = step("chill", "passive = '2 h'", &[celsius("", "4 °C", "8 °C")]);
    assert_eq!(found(&(cooked() + &ice + &loose + &kept)), [(Role::Cold, Severity::Risk)]);
    let piped = step("pipe", "passive = '20 min'", &[celsius("", "25 °C", "")]);
    assert_eq!(found(&(cooked() + &ice + &piped + &kept)), [], "it is worked warm and put away");
}

#[test_case("ambient", "4 h" => Vec::<(Role, Severity)>::new())]
#[test_case("ambient", "5 h" => vec![(Role::Between, Severity::Breach)])]
#[test_case("chilled", "7 d" => Vec::<(Role, Severity)>::new())]
#[test_case("chilled", "8 d" => vec![(Role::Chilled, Severity::Breach)])]
#[test_case("frozen", "300 d" => Vec::<(Role, Severity)>::new())]
fn how_long_it_is_kept(condition: &str, keeps: &str) -> Vec<(Role, Severity)> {
    found(&(cooked() + &cooled() + &storage(condition, keeps)))
}

#[test]
fn what_is_baked_and_kept_at_ambient_is_a_risk() {
    let baked = step("bake", "passive = '20 min'", &[celsius("", "180 °C", "")]);
    assert_eq!(found(&(baked + &storage("ambient", "12 h"))), [(Role::Between, Severity::Risk)]);
}

fn need(pantry: &str, lines: &[(&str, &str)], more: &str) -> Need {
    let book = book(pantry, &[recipe("r", lines, more)]);
    report(&book, &food_code()).needs.remove(0).1
}

#[test]
fn what_needs_no_temperature_control_is_not_held_to_it() {
    let not = |need| matches!(need, Need::NotNeeded(_));
    assert!(not(need(&pantry(), &[("sugar", "1 g")], "")));
    // Two grams of milk in a kilogram of sugar are dry.
    assert!(not(need(&pantry(), &[("sugar", "1 kg"), ("milk", "50 g")], "")));
    assert!(!not(need(&pantry(), &[("sugar", "1 kg"), ("milk", "1 kg")], "")));
    // Nothing is known of honey: it counts as if it held milk.
    let unknown = pantry() + &ingredient("honey", "");
    assert!(!not(need(&unknown, &[("honey", "1 g")], "")));
    let traces =
        ingredient("nut", "allergens = { milk = 'may-contain' }\nother_allergens = 'free'");
    assert!(not(need(&traces, &[("nut", "1 g")], "")));
}

#[test]
fn what_is_sweet_enough_needs_none() {
    // 205 g of sugar in 100 g of water: between glucose and maltose, below 0.85 with all it is off
    // only where its sugars are known; the book doesn't say, so it isn't exempt.
    let syrup = need(&pantry(), &[("sugar", "180 g"), ("milk", "114 g")], "");
    assert!(matches!(syrup, Need::Needed(_)));
}

#[test]
fn egg_that_nothing_heats_is_found_wherever_it_is() {
    let whisk = |then: &str| {
        let lines = "[[line]]\ningredient = 'egg'\namount = '1 g'\nstep = 'whisk'\n";
        let text =
            recipe("mousse", &[("sugar", "1 g")], "") + lines + &step("whisk", "", &[]) + then;
        let r = recipe(
            "r",
            &[("component:mousse", "1 g"), ("sugar", "1 g")],
            &storage("ambient", "1 h"),
        );
        book(&pantry(), &[text, r])
    };
    let roles = |book: &AuthoredBook| -> Vec<String> {
        let findings = report(book, &food_code()).findings;
        findings.iter().filter(|one| one.role == Role::Egg).map(ToString::to_string).collect()
    };
    let raw = roles(&whisk(""));
    assert_eq!(
        raw,
        [
            "`mousse`, step `whisk`: no step heats `egg` to 68 °C: use pasteurised egg, or heat it. Limit: \
             68 °C for 17 s, pooled or held raw eggs (United States (FDA Food Code), 3-401.11(A)(2), as \
             amended in 2017)"
        ]
    );
    assert_eq!(roles(&whisk(&step("cook", "", &[celsius("82 °C", "83 °C", "85 °C")]))), [""; 0]);
    assert_eq!(roles(&whisk(&step("warm", "", &[celsius("50 °C", "60 °C", "70 °C")]))).len(), 1);
}

#[test]
fn heat_before_the_egg_does_not_count_and_heat_above_it_does() {
    let syrup_first = step("syrup", "", &[celsius("", "118 °C", "")]) + &step("whip", "", &[]);
    let line = "[[line]]\ningredient = 'egg'\namount = '1 g'\nstep = 'whip'\n";
    let meringue = recipe("meringue", &[("sugar", "1 g")], "") + line + &syrup_first;
    let raw = recipe("r", &[("component:meringue", "1 g")], "");
    let baked = recipe(
        "r",
        &[("component:meringue", "1 g")],
        &step("bake", "", &[celsius("", "150 °C", "")]),
    );
    let count = |r: String| {
        let findings = report(&book(&pantry(), &[meringue.clone(), r]), &food_code()).findings;
        findings.iter().filter(|one| one.role == Role::Egg).count()
    };
    assert_eq!(count(raw), 1);
    assert_eq!(count(baked), 0);
}

/// A group that declares under EU rules, with this plan.
fn group(control: &str) -> Book {
    let settings =
        format!("name = 'g'\ncurrency = 'EUR'\nlanguages = ['en']\nlabels = ['eu']\n{control}");
    let recipe = "id = 'r'\ntitle = { en = 'r' }\n[[line]]\ningredient = 'milk'\namount = '1 g'";
    let files = [
        ("book.toml", settings.as_str()),
        ("ingredients/all.toml", &pantry()),
        ("recipes/r.toml", recipe),
    ];
    let outcome = read(&Files::new(files));
    outcome.book.unwrap_or_else(|| panic!("{:?}", outcome.findings)).settings
}

const OWN: &str = "[[control.limit]]\nwhat = 'chilled-life'\nwithin = '10 d'\n\
    reason = 'plan 7, challenge test of March'\n";

#[test]
fn a_group_overrides_a_limit_with_a_reason() {
    let book = custard(&(cooked() + &cooled() + &storage("chilled", "8 d")));
    let without = report(&book, &ControlPlan::of_group(&group(""), None));
    assert_eq!(without.findings.len(), 1);
    let with_own = report(&book, &ControlPlan::of_group(&group(OWN), None));
    assert_eq!(with_own.findings, []);
    let applied = &with_own.limits[&Role::Chilled];
    assert_eq!(
        (applied.jurisdiction, applied.source.as_str()),
        (None, "plan 7, challenge test of March")
    );
    // Whoever's published limits are asked for, the group's own stand before them.
    let french = ControlPlan::of_group(&group(OWN), Some(Jurisdiction::France));
    assert_eq!(french.limits()[&Role::Chilled], *applied);
    assert_eq!(french.limits()[&Role::Hot].jurisdiction, Some(Jurisdiction::France));
}

#[test]
fn own_limits_of_every_kind_are_taken_as_they_are_written() {
    let own = "
        [[control.limit]]
        what = 'cold-holding'
        at_most = '41 °F'
        reason = 'x'
        [[control.limit]]
        what = 'hot-holding'
        at_least = '145 °F'
        reason = 'x'
        [[control.limit]]
        what = 'egg-heating'
        at_least = '70 °C'
        held = '2 min'
        reason = 'x'
        [[control.limit]]
        what = 'cool-total'
        from = '60 °C'
        to = '4 °C'
        within = '90 min'
        reason = 'x'
        [[control.limit]]
        what = 'between-cold-and-hot'
        within = '2 h'
        reason = 'x'
        ";
    let plan = ControlPlan::of_group(&group(own), None);
    let limit = |role| plan.limits()[&role].limit.to_string();
    assert_eq!(limit(Role::Cold), "at most 5 °C");
    assert_eq!(limit(Role::Hot), "at least 62.8 °C");
    assert_eq!(limit(Role::Egg), "70 °C for 120 s");
    assert_eq!(limit(Role::CoolTotal), "from 60 °C to 4 °C within 1 h 30 min");
    assert_eq!(limit(Role::Between), "within 2 h");
}

#[test]
fn a_group_exempts_a_recipe_with_a_reason() {
    let book = custard(&(cooked() + &cooled() + &storage("chilled", "8 d")));
    let exempt = "[[control.exempt]]\nrecipe = 'r'\nreason = 'assessed as acid'\n";
    let report = report(&book, &ControlPlan::of_group(&group(exempt), None));
    assert_eq!(report.findings, []);
    assert_eq!(
        report.needs[0].1,
        Need::NotNeeded(Uncontrolled::Exempt("assessed as acid".to_owned()))
    );
}

#[test]
fn where_nothing_is_published_the_food_code_stands_in_and_says_so() {
    let rest = step("rest", "passive = '12 h'", &[celsius("", "20 °C", "")]);
    let book = custard(&(cooked() + &cooled() + &rest));
    for published in ["", "[control]\npublished = 'fr'\n", "[control]\npublished = 'eu'\n"] {
        let report = report(&book, &ControlPlan::of_group(&group(published), None));
        let between: Vec<_> =
            report.findings.iter().filter(|one| one.role == Role::Between).collect();
        assert_eq!(between.len(), 1, "{published}");
        assert_eq!(between[0].limit.jurisdiction, Some(Jurisdiction::UsFoodCode));
        assert_eq!(between[0].severity, Severity::Breach);
    }
    let named = ControlPlan::of_group(&group("[control]\npublished = 'uk'\n"), None);
    assert_eq!(named.limits()[&Role::Between].jurisdiction, Some(Jurisdiction::UnitedKingdom));
}

#[test]
fn what_a_jurisdiction_publishes_no_limit_for_is_not_checked() {
    let plan = ControlPlan::published(Jurisdiction::France);
    assert!(plan.unchecked().contains(&Role::Egg) && plan.unchecked().contains(&Role::Between));
    let rest = step("rest", "passive = '12 h'", &[celsius("", "20 °C", "")]);
    let book = custard(&(cooked() + &cooled() + &rest + &storage("chilled", "4 d")));
    let roles: Vec<Role> = report(&book, &plan).findings.iter().map(|one| one.role).collect();
    // 10 °C by the end of the second step, after two and a half hours; kept longer than three days.
    assert_eq!(roles, [Role::CoolFirst, Role::Chilled]);
    assert!(food_code().unchecked().contains(&Role::Frozen));
}

#[test]
fn a_report_covers_every_component() {
    let part = recipe("part", &[("milk", "1 g")], &storage("ambient", "6 h"));
    let book = book(&pantry(), &[part, recipe("r", &[("component:part", "1 g")], "")]);
    let report = report(&book, &food_code());
    let recipes: Vec<&str> = report.needs.iter().map(|(id, _)| id.as_str()).collect();
    assert_eq!(recipes, ["part", "r"]);
    assert_eq!(report.findings[0].recipe.as_str(), "part");
}

fn limit(key: &str) -> Limit {
    POINTS.iter().find(|point| point.key == key).expect("a point").limit
}

fn record(hours: &[(&str, i64)]) -> Vec<(Exact, Exact)> {
    hours.iter().map(|(at, celsius)| (exact(at) * Exact::from(60), Exact::from(*celsius))).collect()
}

/// FDA Food Code, 3-501.14; Order of 21 December 2009 (France).
#[test]
fn cooling_records_against_published_limits() {
    let slow = |minutes: &str| Err(CoolingFailure::TooSlow { took: exact(minutes) });
    let passes = record(&[("0", 60), ("1", 35), ("2", 21), ("6", 5)]);
    assert_eq!(cools_in_time(&passes, &limit("us-cool-first")), Ok(()));
    assert_eq!(cools_in_time(&passes, &limit("us-cool-total")), Ok(()));
    let first = record(&[("0", 57), ("2", 22), ("5", 5)]);
    assert_eq!(cools_in_time(&first, &limit("us-cool-first")), slow("300"));
    let total = record(&[("0", 57), ("1.5", 21), ("6.2", 5)]);
    assert_eq!(cools_in_time(&total, &limit("us-cool-first")), Ok(()));
    assert_eq!(cools_in_time(&total, &limit("us-cool-total")), slow("372"));
    let french = limit("fr-cool");
    assert_eq!(cools_in_time(&record(&[("0", 63), ("1.9", 10), ("4", 3)]), &french), Ok(()));
    assert_eq!(cools_in_time(&record(&[("0", 63), ("2.1", 10)]), &french), slow("126"));
    assert_eq!(cools_in_time(&record(&[("0", 63), ("2", 10)]), &french), slow("120"));
    assert_eq!(
        cools_in_time(&record(&[("0", 63), ("1", 40)]), &french),
        Err(CoolingFailure::NotReached)
    );
    assert_eq!(cools_in_time(&[], &french), Err(CoolingFailure::NotReached));
    assert_eq!(cools_in_time(&[], &limit("us-cold")), Err(CoolingFailure::OtherLimit));
    // The clock starts when it leaves the heat for the last time.
    let kept_hot = record(&[("0", 80), ("5", 60), ("6", 30), ("7", 20)]);
    assert_eq!(cools_in_time(&kept_hot, &limit("us-cool-first")), Ok(()));
}

/// Pairs for an ice-cream mix.
#[test]
fn from_memory_a_mix_that_is_held_hot_is_pasteurised() {
    assert_eq!(pasteurises(&exact("83"), &exact("15")).len(), 1);
    assert_eq!(pasteurises(&exact("83"), &exact("30")).len(), 2);
    assert_eq!(pasteurises(&exact("70"), &exact("1800")).len(), 2);
    assert!(pasteurises(&exact("79.3"), &exact("60")).is_empty());
}
