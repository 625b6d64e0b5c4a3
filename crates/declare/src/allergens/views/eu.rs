//! Annex II to Regulation (EU) No 1169/2011: fourteen groups, cereals and nuts named singly
//! (Article 21 and the wording of Annex II, points 1 and 8).

use super::Rule;

pub(super) const SOURCE: &str =
    "Regulation (EU) No 1169/2011, Annex II; named singly after Articles 18 and 21";

pub(super) const RULES: &[Rule] = &[
    Rule {
        kinds: &[
            ("gluten.wheat", "wheat"),
            ("gluten.spelt", "wheat (spelt)"),
            ("gluten.khorasan", "wheat (khorasan)"),
            ("gluten.rye", "rye"),
            ("gluten.barley", "barley"),
            ("gluten.oats", "oats"),
        ],
        named_singly: true,
        exempt: &[
            "wheat-based glucose syrups including dextrose",
            "wheat-based maltodextrins",
            "glucose syrups based on barley",
            "cereals used for alcoholic distillates",
        ],
        note: Some("hybridised strains count: name the cereals they are of"),
        ..Rule::group("cereals containing gluten", "gluten")
    },
    Rule::group("crustaceans", "crustaceans"),
    Rule::group("eggs", "egg"),
    Rule {
        exempt: &[
            "fish gelatine as carrier for vitamin or carotenoid preparations",
            "fish gelatine or isinglass as fining agent in beer and wine",
        ],
        ..Rule::group("fish", "fish")
    },
    Rule::group("peanuts", "peanuts"),
    Rule {
        exempt: &[
            "fully refined soybean oil and fat",
            "natural mixed tocopherols (E 306) and the listed natural tocopherol forms from soybean",
            "phytosterols and phytosterol esters from soybean oil",
            "plant stanol ester from soybean sterols",
        ],
        ..Rule::group("soybeans", "soya")
    },
    Rule {
        exempt: &["whey used for alcoholic distillates", "lactitol"],
        note: Some("lactose counts"),
        ..Rule::group("milk", "milk")
    },
    Rule {
        kinds: &[
            ("nuts.almond", "almonds"),
            ("nuts.hazelnut", "hazelnuts"),
            ("nuts.walnut", "walnuts"),
            ("nuts.cashew", "cashews"),
            ("nuts.pecan", "pecan nuts"),
            ("nuts.brazil", "Brazil nuts"),
            ("nuts.pistachio", "pistachio nuts"),
            ("nuts.macadamia", "macadamia nuts"),
        ],
        named_singly: true,
        exempt: &["nuts used for alcoholic distillates"],
        ..Rule::group("nuts", "nuts")
    },
    Rule::group("celery", "celery"),
    Rule::group("mustard", "mustard"),
    Rule::group("sesame seeds", "sesame"),
    Rule {
        note: Some("from more than 10 mg/kg or 10 mg/L as total SO2 in the product as consumed"),
        ..Rule::group("sulphur dioxide and sulphites", "sulphites")
    },
    Rule::group("lupin", "lupin"),
    Rule::group("molluscs", "molluscs"),
];
