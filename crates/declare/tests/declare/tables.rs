//! The tables of laws, held to the lists that they are from.

use chablon_declare::allergens::States;
use chablon_declare::allergens::views::{Law, ViewEntry};
use chablon_declare::control::{Jurisdiction, Limit, PASTEURISATION, POINTS};
use chablon_model::{Allergen, AllergenState};
use test_case::test_case;

use crate::fixture::stating;

fn names(law: Law) -> Vec<&'static str> {
    law.rules().iter().map(|rule| rule.name).collect()
}

fn kinds(law: Law, group: &str) -> Vec<&'static str> {
    let rules = law.rules().iter().filter(|rule| rule.group == group);
    rules.flat_map(|rule| rule.kinds.iter().map(|(_, name)| *name)).collect()
}

/// Regulation (EU) No 1169/2011, Annex II, as reproduced by the Food Allergy Research and Resource
/// Program of the University of Nebraska.
#[test]
fn annex_ii_has_its_fourteen_groups_in_order() {
    assert_eq!(
        names(Law::Eu),
        [
            "cereals containing gluten",
            "crustaceans",
            "eggs",
            "fish",
            "peanuts",
            "soybeans",
            "milk",
            "nuts",
            "celery",
            "mustard",
            "sesame seeds",
            "sulphur dioxide and sulphites",
            "lupin",
            "molluscs",
        ]
    );
    let groups: Vec<&str> = Law::Eu.rules().iter().map(|rule| rule.group).collect();
    let model: Vec<_> = Allergen::groups().map(|group| group.code()).collect();
    assert_eq!(groups, model);
    assert_eq!(
        kinds(Law::Eu, "gluten").len(),
        6,
        "wheat with spelt and khorasan, rye, barley, oats"
    );
    assert_eq!(
        kinds(Law::Eu, "nuts"),
        [
            "almonds",
            "hazelnuts",
            "walnuts",
            "cashews",
            "pecan nuts",
            "Brazil nuts",
            "pistachio nuts",
            "macadamia nuts",
        ]
    );
    let exempt: Vec<(&str, usize)> = Law::Eu
        .rules()
        .iter()
        .filter(|rule| !rule.exempt.is_empty())
        .map(|rule| (rule.group, rule.exempt.len()))
        .collect();
    assert_eq!(exempt, [("gluten", 4), ("fish", 2), ("soya", 4), ("milk", 2), ("nuts", 1)]);
    let singly: Vec<&str> =
        Law::Eu.rules().iter().filter(|rule| rule.named_singly).map(|rule| rule.group).collect();
    assert_eq!(singly, ["gluten", "nuts"]);
}

/// FALCPA with the FASTER Act (sesame since 2023-01-01); tree nuts after FDA, Questions and Answers
/// Regarding Food Allergens, edition 5 (2025), appendix I.
#[test]
fn the_united_states_have_their_nine() {
    let mut found = names(Law::Us);
    found.sort_unstable();
    let nine = [
        "crustacean shellfish",
        "egg",
        "fish",
        "milk",
        "peanuts",
        "sesame",
        "soybeans",
        "tree nuts",
        "wheat",
    ];
    assert_eq!(found, nine);
    assert_eq!(
        kinds(Law::Us, "nuts"),
        [
            "almond",
            "Brazil nut",
            "cashew",
            "hazelnut",
            "macadamia nut",
            "pecan",
            "pine nut",
            "pistachio",
            "walnut"
        ]
    );
    let singly: Vec<&str> =
        Law::Us.rules().iter().filter(|rule| rule.named_singly).map(|rule| rule.name).collect();
    assert_eq!(singly, ["fish", "crustacean shellfish", "tree nuts"]);
}

/// Codex CXS 1-1985, section 4.2.1.4, as it stood before 2024.
#[test]
fn codex_before_2024_has_its_list() {
    assert_eq!(
        names(Law::CodexBefore2024),
        [
            "cereals containing gluten",
            "crustacea",
            "eggs",
            "fish",
            "peanuts",
            "soybeans",
            "milk",
            "tree nuts",
            "sulphite",
        ]
    );
    assert!(Law::CodexBefore2024.rules().iter().all(|rule| rule.everywhere));
}

/// Codex CXS 1-1985 as revised in 2024: the wording is from memory.
#[test]
fn from_memory_codex_since_2024_has_its_list() {
    let by = |everywhere| -> Vec<&str> {
        let rules = Law::Codex2024.rules().iter().filter(|rule| rule.everywhere == everywhere);
        rules.map(|rule| rule.name).collect()
    };
    assert_eq!(
        by(true),
        [
            "cereals containing gluten",
            "crustacea",
            "eggs",
            "fish",
            "peanuts",
            "milk",
            "sesame",
            "tree nuts",
            "sulphite"
        ]
    );
    assert_eq!(by(false), ["oats", "soybeans", "further tree nuts", "celery", "lupin", "mustard"]);
    assert!(Law::Codex2024.source().contains("memory"));
}

#[test]
fn every_law_says_where_it_is_from_and_names_known_codes() {
    for law in Law::ALL {
        assert!(!law.source().is_empty());
        for rule in law.rules() {
            let group: Allergen = rule.group.parse().expect("a code");
            assert_eq!(group.group(), group, "{}", rule.name);
            for (kind, _) in rule.kinds {
                let kind: Allergen = kind.parse().expect("a code");
                assert_eq!(kind.group(), group);
            }
        }
    }
}

/// The names that a law asks for of an ingredient which contains these codes and nothing else.
fn asked_for(law: Law, codes: &[&str]) -> Vec<&'static str> {
    let contains: Vec<_> = codes.iter().map(|code| (*code, AllergenState::Contains)).collect();
    let states = States::of_ingredient(&stating(&contains, Some(AllergenState::Free)));
    let view = law.view(&states).into_iter().filter(|entry| entry.state != AllergenState::Free);
    view.flat_map(|entry| entry.named.into_iter().map(|named| named.name)).collect()
}

/// Cases worked from the lists above.
#[test_case(&["gluten.wheat"], &["wheat"], &["wheat"]; "wheat flour")]
#[test_case(&["gluten.spelt"], &["wheat (spelt)"], &["wheat"]; "spelt flour")]
#[test_case(&["gluten.rye"], &["rye"], &[]; "rye flour")]
#[test_case(&["gluten.oats"], &["oats"], &[]; "oat flakes")]
#[test_case(&["gluten.barley"], &["barley"], &[]; "barley malt extract")]
#[test_case(&[], &[], &[]; "what no law asks for, such as buckwheat, lactitol, coconut, chestnut or shea nut fat")]
#[test_case(&["milk"], &["milk"], &["milk"]; "butter or lactose")]
#[test_case(&["egg"], &["eggs"], &["egg"]; "egg white powder or lysozyme E1105")]
#[test_case(&["nuts.almond"], &["almonds"], &["almond"]; "almond paste")]
#[test_case(&["nuts.hazelnut"], &["hazelnuts"], &["hazelnut"]; "hazelnut praline")]
#[test_case(&["nuts.pine-nut"], &[], &["pine nut"]; "pine nut")]
#[test_case(&["peanuts"], &["peanuts"], &["peanuts"]; "peanut butter")]
#[test_case(&["soya"], &["soybeans"], &["soybeans"]; "soya lecithin")]
#[test_case(&["sesame"], &["sesame seeds"], &["sesame"]; "sesame paste")]
#[test_case(&["fish"], &["fish"], &["fish"]; "fish gelatine in a mousse")]
#[test_case(&["lupin"], &["lupin"], &[]; "lupin flour")]
#[test_case(&["sulphites"], &["sulphur dioxide and sulphites"], &[]; "sulphured apricots")]
#[test_case(&["celery", "mustard", "molluscs"], &["celery", "mustard", "molluscs"], &[]; "what only the union asks for")]
fn what_each_law_asks_for(codes: &[&str], eu: &[&str], us: &[&str]) {
    assert_eq!(asked_for(Law::Eu, codes), eu);
    assert_eq!(asked_for(Law::Us, codes), us);
}

/// Nuts that no law's list has: nobody can state them as an allergen, and the United States' view says
/// that they don't count (FDA, Questions and Answers Regarding Food Allergens, edition 5, 2025).
#[test]
fn a_nut_of_no_list_has_no_code() {
    let nuts = Law::Us.rules().iter().find(|rule| rule.group == "nuts").expect("a rule");
    let note = nuts.note.expect("a word on what doesn't count");
    for (code, name) in [("coconut", "coconut"), ("chestnut", "chestnut"), ("shea-nut", "shea nut")]
    {
        assert!(code.parse::<Allergen>().is_err());
        assert!(format!("nuts.{code}").parse::<Allergen>().is_err());
        assert!(note.contains(name), "{note}");
    }
}

/// A chocolate with soya lecithin from a line that also makes milk chocolate.
#[test]
fn traces_are_traces_under_every_law() {
    let couverture = [("soya", AllergenState::Contains), ("milk", AllergenState::MayContain)];
    let states = States::of_ingredient(&stating(&couverture, Some(AllergenState::Free)));
    for law in [Law::Eu, Law::Us] {
        let view = law.view(&states);
        let state = |group: &str| {
            let rule = law.rules().iter().position(|rule| rule.group == group).expect("a rule");
            view[rule].state
        };
        assert_eq!(
            (state("soya"), state("milk")),
            (AllergenState::Contains, AllergenState::MayContain)
        );
    }
}

fn entry(law: Law, name: &str, states: &States) -> ViewEntry {
    law.view(states).into_iter().find(|entry| entry.name == name).expect("an entry")
}

#[test]
fn a_group_whose_kinds_are_not_known_has_no_name_to_print() {
    let states = States::of_ingredient(&stating(
        &[("nuts", AllergenState::Contains), ("fish", AllergenState::Contains)],
        Some(AllergenState::Free),
    ));
    let nuts = entry(Law::Eu, "nuts", &states);
    assert_eq!((nuts.state, nuts.unnamed), (AllergenState::Contains, true));
    assert_eq!(nuts.named[0].allergen.code(), "nuts");
    assert!(!entry(Law::Eu, "fish", &states).unnamed, "the union asks for no species");
    assert!(entry(Law::Us, "fish", &states).unnamed, "the United States do");
    let wheat = entry(Law::Us, "wheat", &states);
    assert_eq!(wheat.state, AllergenState::Free);
}

#[test]
fn gluten_of_unknown_kind_is_unknown_wheat() {
    let states = States::of_ingredient(&stating(
        &[("gluten", AllergenState::Contains)],
        Some(AllergenState::Free),
    ));
    assert_eq!(entry(Law::Us, "wheat", &states).state, AllergenState::Unknown);
}

#[test]
fn traces_of_a_group_are_not_those_of_each_kind() {
    let states = States::of_ingredient(&stating(
        &[("nuts", AllergenState::MayContain)],
        Some(AllergenState::Free),
    ));
    let nuts = entry(Law::Eu, "nuts", &states);
    let named: Vec<&str> = nuts.named.iter().map(|one| one.name).collect();
    assert_eq!((nuts.state, named), (AllergenState::MayContain, vec!["nuts"]));
    assert!(!nuts.unnamed, "traces of nuts may be printed as such");
    let states = States::of_ingredient(&stating(
        &[("nuts.almond", AllergenState::MayContain), ("nuts.pecan", AllergenState::MayContain)],
        Some(AllergenState::Free),
    ));
    let nuts = entry(Law::Eu, "nuts", &states);
    let named: Vec<&str> = nuts.named.iter().map(|one| one.name).collect();
    assert_eq!(named, ["almonds", "pecan nuts"]);
}

#[test]
fn a_kind_that_is_known_is_named_instead_of_its_group() {
    let contains = [("nuts", AllergenState::Contains), ("nuts.almond", AllergenState::Contains)];
    let states = States::of_ingredient(&stating(&contains, Some(AllergenState::Free)));
    let nuts = entry(Law::Eu, "nuts", &states);
    let named: Vec<&str> = nuts.named.iter().map(|one| one.name).collect();
    assert_eq!((named, nuts.unnamed), (vec!["almonds"], false));
    let gluten = entry(Law::Eu, "cereals containing gluten", &states);
    assert_eq!((gluten.state, gluten.unnamed), (AllergenState::Free, false));
}

#[test]
fn nothing_stated_is_unknown_under_every_law() {
    let states = States::of_ingredient(&stating(&[], None));
    for law in Law::ALL {
        assert!(
            law.view(&states).iter().all(|entry| entry.state == AllergenState::Unknown),
            "{law:?}"
        );
    }
}

fn limit(key: &str) -> String {
    POINTS.iter().find(|point| point.key == key).expect("a point").limit.to_string()
}

/// FDA Food Code 2022, 3-302.13, 3-401.11, 3-501.14 and 3-501.16; Order of 21 December 2009
/// (France).
#[test]
fn published_control_points() {
    assert_eq!(limit("us-cool-first"), "from 57 °C to 21 °C within 2 h");
    assert_eq!(limit("us-cool-total"), "from 57 °C to 5 °C within 6 h");
    assert_eq!(limit("us-cool-ambient"), "from 57 °C to 5 °C within 4 h");
    assert_eq!(limit("us-hot"), "at least 57 °C");
    assert_eq!(limit("us-cold"), "at most 5 °C");
    assert_eq!(limit("us-shell-eggs"), "at most 7 °C");
    assert_eq!(limit("us-egg-to-order"), "63 °C for 15 s");
    assert_eq!(limit("us-egg-pooled"), "68 °C for 17 s");
    assert_eq!(limit("us-egg-uncooked"), "pasteurised egg instead");
    assert_eq!(limit("fr-cool"), "from 63 °C to 10 °C in less than 2 h");
    assert_eq!(limit("fr-cold"), "at most 3 °C");
    assert_eq!(limit("fr-very-perishable"), "at most 4 °C");
    assert_eq!(limit("fr-perishable"), "at most 8 °C");
    assert_eq!(limit("fr-egg-products"), "at most 4 °C");
    assert_eq!(limit("fr-frozen"), "at most -18 °C");
    assert_eq!(limit("fr-frozen-other"), "at most -12 °C");
    assert_eq!(limit("fr-hot"), "at least 63 °C");
    assert_eq!(limit("fr-reheat"), "from 10 °C to 63 °C in less than 1 h");
    assert_eq!(limit("fr-date"), "within 72 h");
}

#[test]
fn from_memory_control_points() {
    let memory = [
        "us-reheat",
        "us-time",
        "us-time-cool",
        "us-date",
        "uk-cold",
        "uk-hot",
        "uk-time",
        "uk-time-hot",
        "eu-liquid-egg",
    ];
    let marked: Vec<&str> =
        POINTS.iter().filter(|point| point.from_memory).map(|point| point.key).collect();
    assert_eq!(marked, memory);
    assert_eq!(limit("us-reheat"), "74 °C for 15 s");
    assert_eq!(limit("us-time"), "within 4 h");
    assert_eq!(limit("us-time-cool"), "within 6 h");
    assert_eq!(limit("us-date"), "within 168 h");
    assert_eq!(limit("uk-cold"), "at most 8 °C");
    assert_eq!(limit("uk-hot"), "at least 63 °C");
    assert_eq!(limit("uk-time"), "within 4 h");
    assert_eq!(limit("uk-time-hot"), "within 2 h");
    assert_eq!(limit("eu-liquid-egg"), "at most 4 °C");
    let pairs: Vec<String> =
        PASTEURISATION.iter().map(|pair| format!("{} {}", pair.celsius, pair.seconds)).collect();
    assert_eq!(pairs, ["65.6 1800", "71.1 600", "79.4 15", "68.3 1800", "79.4 25"]);
}

#[test]
fn every_point_says_whose_it_is() {
    let mut keys: Vec<&str> = POINTS.iter().map(|point| point.key).collect();
    keys.sort_unstable();
    keys.dedup();
    assert_eq!(keys.len(), POINTS.len());
    for point in POINTS {
        assert!(!point.source.is_empty() && !point.what.is_empty());
        let country = match point.jurisdiction {
            Jurisdiction::UsFoodCode => "us-",
            Jurisdiction::France => "fr-",
            Jurisdiction::UnitedKingdom => "uk-",
            Jurisdiction::EuropeanUnion => "eu-",
        };
        assert!(point.key.starts_with(country), "{}", point.key);
    }
    assert!(POINTS.iter().any(|point| matches!(point.limit, Limit::Instead(_))));
}
