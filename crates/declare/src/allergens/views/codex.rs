//! Codex CXS 1-1985, before and since its revision of 2024.

use super::Rule;

pub(super) const SOURCE_BEFORE_2024: &str = "Codex CXS 1-1985, section 4.2.1.4, before 2024";

pub(super) const SOURCE_SINCE_2024: &str = "Codex CXS 1-1985 as revised in 2024 (finalised by \
    CCFL48); its wording is from memory and must be checked before use";

const SULPHITES: Rule =
    Rule { note: Some("from 10 mg/kg"), ..Rule::group("sulphite", "sulphites") };

const ALL_NUTS: &[(&str, &str)] = &[
    ("nuts.almond", "almond"),
    ("nuts.hazelnut", "hazelnut"),
    ("nuts.walnut", "walnut"),
    ("nuts.cashew", "cashew"),
    ("nuts.pecan", "pecan"),
    ("nuts.brazil", "Brazil nut"),
    ("nuts.pistachio", "pistachio"),
    ("nuts.macadamia", "macadamia"),
    ("nuts.pine-nut", "pine nut"),
];

pub(super) const BEFORE_2024: &[Rule] = &[
    Rule {
        kinds: &[
            ("gluten.wheat", "wheat"),
            ("gluten.rye", "rye"),
            ("gluten.barley", "barley"),
            ("gluten.oats", "oats"),
            ("gluten.spelt", "spelt"),
            ("gluten.khorasan", "khorasan wheat"),
        ],
        note: Some("hybridised strains count"),
        ..Rule::group("cereals containing gluten", "gluten")
    },
    Rule::group("crustacea", "crustaceans"),
    Rule::group("eggs", "egg"),
    Rule::group("fish", "fish"),
    Rule { note: Some("one group with soybeans"), ..Rule::group("peanuts", "peanuts") },
    Rule { note: Some("one group with peanuts"), ..Rule::group("soybeans", "soya") },
    Rule { note: Some("lactose counts"), ..Rule::group("milk", "milk") },
    Rule { kinds: ALL_NUTS, ..Rule::group("tree nuts", "nuts") },
    SULPHITES,
];

/// What the revision leaves to each country.
const fn by_choice(name: &'static str, group: &'static str) -> Rule {
    Rule { everywhere: false, ..Rule::group(name, group) }
}

pub(super) const SINCE_2024: &[Rule] = &[
    Rule {
        kinds: &[
            ("gluten.wheat", "wheat"),
            ("gluten.spelt", "wheat (spelt)"),
            ("gluten.khorasan", "wheat (khorasan)"),
            ("gluten.rye", "rye"),
            ("gluten.barley", "barley"),
        ],
        named_singly: true,
        ..Rule::group("cereals containing gluten", "gluten")
    },
    Rule::group("crustacea", "crustaceans"),
    Rule::group("eggs", "egg"),
    Rule::group("fish", "fish"),
    Rule::group("peanuts", "peanuts"),
    Rule::group("milk", "milk"),
    Rule::group("sesame", "sesame"),
    Rule {
        kinds: &[
            ("nuts.almond", "almond"),
            ("nuts.cashew", "cashew"),
            ("nuts.hazelnut", "hazelnut"),
            ("nuts.pecan", "pecan"),
            ("nuts.pistachio", "pistachio"),
            ("nuts.walnut", "walnut"),
        ],
        named_singly: true,
        ..Rule::group("tree nuts", "nuts")
    },
    SULPHITES,
    Rule { whole_group: false, kinds: &[("gluten.oats", "oats")], ..by_choice("oats", "gluten") },
    by_choice("soybeans", "soya"),
    Rule {
        whole_group: false,
        kinds: &[
            ("nuts.brazil", "Brazil nut"),
            ("nuts.macadamia", "macadamia"),
            ("nuts.pine-nut", "pine nut"),
        ],
        note: Some("a country may ask for any of the three"),
        ..by_choice("further tree nuts", "nuts")
    },
    by_choice("celery", "celery"),
    by_choice("lupin", "lupin"),
    Rule {
        note: Some("a country may ask for buckwheat too, of which a book has no code"),
        ..by_choice("mustard", "mustard")
    },
];
