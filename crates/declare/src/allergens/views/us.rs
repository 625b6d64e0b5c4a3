//! The nine major food allergens of the United States, tree nuts by the FDA's list.

use super::Rule;

pub(super) const SOURCE: &str = "Food Allergen Labeling and Consumer Protection Act of 2004 with \
    the FASTER Act of 2021 (sesame since 2023-01-01); tree nuts: FDA, Questions and Answers \
    Regarding Food Allergens, edition 5 (2025), appendix I";

/// Why a species stands in no code.
const SPECIES: &str = "name the species; a book has no codes for them";

pub(super) const RULES: &[Rule] = &[
    Rule::group("milk", "milk"),
    Rule::group("egg", "egg"),
    Rule { named_singly: true, note: Some(SPECIES), ..Rule::group("fish", "fish") },
    Rule {
        named_singly: true,
        note: Some(SPECIES),
        ..Rule::group("crustacean shellfish", "crustaceans")
    },
    Rule {
        kinds: &[
            ("nuts.almond", "almond"),
            ("nuts.brazil", "Brazil nut"),
            ("nuts.cashew", "cashew"),
            ("nuts.hazelnut", "hazelnut"),
            ("nuts.macadamia", "macadamia nut"),
            ("nuts.pecan", "pecan"),
            ("nuts.pine-nut", "pine nut"),
            ("nuts.pistachio", "pistachio"),
            ("nuts.walnut", "walnut"),
        ],
        named_singly: true,
        note: Some(
            "black, California, Japanese (heartnut), English and Persian walnuts are walnuts here; \
             coconut, chestnut and shea nut haven't counted since 2025",
        ),
        ..Rule::group("tree nuts", "nuts")
    },
    Rule::group("peanuts", "peanuts"),
    Rule {
        whole_group: false,
        kinds: &[
            ("gluten.wheat", "wheat"),
            ("gluten.spelt", "wheat"),
            ("gluten.khorasan", "wheat"),
        ],
        note: Some("rye, barley and oats aren't wheat, and aren't among the nine"),
        ..Rule::group("wheat", "gluten")
    },
    Rule { exempt: &["highly refined oil"], ..Rule::group("soybeans", "soya") },
    Rule::group("sesame", "sesame"),
];
