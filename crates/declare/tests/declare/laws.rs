//! What the tables of laws say beside the names: kinds, what is named singly, exemptions, notes, and
//! what is unknown under each.

use chablon_declare::allergens::States;
use chablon_declare::allergens::views::{Law, Rule};
use chablon_model::AllergenState;
use test_case::test_case;

use crate::fixture::stating;

#[test]
fn every_law_has_a_name_that_does_not_change() {
    let names = Law::ALL.map(Law::as_str);
    assert_eq!(names, ["eu", "us", "codex-before-2024", "codex-2024"]);
}

/// The names of the rules that something holds for.
fn names(law: Law, holds: impl Fn(&Rule) -> bool) -> Vec<&'static str> {
    law.rules().iter().filter(|rule| holds(rule)).map(|rule| rule.name).collect()
}

/// The kinds of one rule, as the law calls them.
fn kinds(law: Law, rule: &str) -> Vec<&'static str> {
    let rule = law.rules().iter().find(|one| one.name == rule).expect("a rule");
    rule.kinds.iter().map(|(_, name)| *name).collect()
}

/// FALCPA: wheat is any Triticum, and a highly refined oil isn't an allergen.
#[test]
fn wheat_and_refined_oil_in_the_united_states() {
    assert_eq!(kinds(Law::Us, "wheat"), ["wheat"; 3], "spelt and khorasan are wheat");
    assert_eq!(names(Law::Us, |rule| !rule.exempt.is_empty()), ["soybeans"]);
    let exempt = Law::Us.rules().iter().flat_map(|rule| rule.exempt);
    assert_eq!(exempt.collect::<Vec<_>>(), [&"highly refined oil"]);
}

/// Codex CXS 1-1985, section 4.2.1.4, as it stood before 2024.
#[test]
fn kinds_of_codex_before_2024() {
    let law = Law::CodexBefore2024;
    let cereals = ["wheat", "rye", "barley", "oats", "spelt", "khorasan wheat"];
    assert_eq!(kinds(law, "cereals containing gluten"), cereals);
    assert_eq!(kinds(law, "tree nuts").len(), 9, "tree nuts, whichever");
    assert_eq!(names(law, |rule| rule.named_singly), [""; 0]);
}

/// Codex CXS 1-1985 as revised in 2024: the wording is from memory.
#[test]
fn from_memory_kinds_of_codex_since_2024() {
    let law = Law::Codex2024;
    let cereals = ["wheat", "wheat (spelt)", "wheat (khorasan)", "rye", "barley"];
    assert_eq!(kinds(law, "cereals containing gluten"), cereals);
    assert_eq!(kinds(law, "oats"), ["oats"]);
    let nuts = ["almond", "cashew", "hazelnut", "pecan", "pistachio", "walnut"];
    assert_eq!(kinds(law, "tree nuts"), nuts);
    assert_eq!(kinds(law, "further tree nuts"), ["Brazil nut", "macadamia", "pine nut"]);
    let singly = ["cereals containing gluten", "tree nuts"];
    assert_eq!(names(law, |rule| rule.named_singly), singly);
}

#[test]
fn rules_for_some_kinds_leave_the_rest_of_the_group_out() {
    let in_part = |law| names(law, |rule| !rule.whole_group);
    assert_eq!(in_part(Law::Eu), [""; 0]);
    assert_eq!(in_part(Law::Us), ["wheat"]);
    assert_eq!(in_part(Law::CodexBefore2024), [""; 0]);
    assert_eq!(in_part(Law::Codex2024), ["oats", "further tree nuts"]);
}

#[test_case(Law::Eu, &[
    ("cereals containing gluten", "hybridised strains"),
    ("milk", "lactose"),
    ("sulphur dioxide and sulphites", "more than 10 mg/kg or 10 mg/L"),
]; "the union")]
#[test_case(Law::Us, &[
    ("fish", "species"),
    ("crustacean shellfish", "species"),
    ("tree nuts", "coconut, chestnut and shea nut"),
    ("wheat", "rye, barley and oats"),
]; "the nine")]
#[test_case(Law::CodexBefore2024, &[
    ("cereals containing gluten", "hybridised strains"),
    ("peanuts", "soybeans"),
    ("soybeans", "peanuts"),
    ("milk", "lactose"),
    ("sulphite", "from 10 mg/kg"),
]; "codex before 2024")]
#[test_case(Law::Codex2024, &[
    ("sulphite", "from 10 mg/kg"),
    ("further tree nuts", "any of the three"),
    ("mustard", "buckwheat"),
]; "from memory codex since 2024")]
fn what_else_to_know_stands_beside_the_rule(law: Law, expected: &[(&str, &str)]) {
    let view = law.view(&States::of_ingredient(&stating(&[], None)));
    let noted: Vec<_> = view.iter().filter_map(|one| Some((one.name, one.note?))).collect();
    assert_eq!(noted.len(), expected.len(), "{noted:?}");
    for ((name, note), (of, says)) in noted.iter().zip(expected) {
        assert_eq!(name, of);
        assert!(note.contains(says), "{name}: {note}");
    }
}

/// How many codes a law asks for of which nobody knows, where a code is contained.
#[test_case(Law::Eu, None, None => 14; "nothing is known")]
#[test_case(Law::Us, None, None => 9; "nothing is known of the nine")]
#[test_case(Law::Eu, None, Some(AllergenState::Free) => 0; "all is known")]
#[test_case(Law::Us, None, Some(AllergenState::Unknown) => 9; "all is stated unknown")]
#[test_case(Law::Eu, Some("nuts"), Some(AllergenState::Free) => 8; "which nut")]
#[test_case(Law::Us, Some("nuts"), Some(AllergenState::Free) => 9; "which nut of the nine")]
#[test_case(Law::Us, Some("gluten"), Some(AllergenState::Free) => 3; "which cereal, perhaps wheat")]
#[test_case(Law::Us, Some("gluten.rye"), Some(AllergenState::Free) => 0; "a cereal that isn't wheat")]
#[test_case(Law::Us, Some("gluten.rye"), None => 8 + 3; "rye, and nobody knows of wheat")]
#[test_case(Law::Eu, Some("nuts.pine-nut"), None => 13 + 8; "a nut that the union doesn't name")]
fn what_nobody_knows(law: Law, contains: Option<&str>, others: Option<AllergenState>) -> usize {
    let contains = contains.map(|code| (code, AllergenState::Contains));
    let states = States::of_ingredient(&stating(contains.as_slice(), others));
    let unknown = law.unknown(&states);
    assert!(unknown.iter().all(|code| states.of(code) == AllergenState::Unknown));
    unknown.len()
}
