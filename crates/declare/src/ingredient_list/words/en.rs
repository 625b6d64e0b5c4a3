//! English, after the wording of Annex II to Regulation (EU) No 1169/2011.

use super::{AllergenWords, Words, row};

/// Plants of which a drink or a paste is called milk.
const PLANT_MILKS: &[&str] =
    &["almond", "cashew", "coconut", "hazelnut", "oat", "pea", "peanut", "rice", "soy", "soya"];

pub(super) static WORDS: Words = Words {
    language: "en",
    ingredients: "Ingredients: ",
    may_contain: "May contain: ",
    point: ".",
    allergens: &[
        row("gluten", "cereals containing gluten", &["gluten"]),
        row("crustaceans", "crustaceans", &["crustacean", "crustaceans"]),
        row("egg", "egg", &["egg", "eggs"]),
        row("fish", "fish", &["fish"]),
        row("peanuts", "peanuts", &["peanut", "peanuts"]),
        row("soya", "soya", &["soya", "soy", "soybean", "soybeans"]),
        AllergenWords { unless_after: PLANT_MILKS, ..row("milk", "milk", &["milk"]) },
        row("nuts", "nuts", &[]),
        row("celery", "celery", &["celery"]),
        row("mustard", "mustard", &["mustard"]),
        row("sesame", "sesame", &["sesame"]),
        row("sulphites", "sulphites", &["sulphite", "sulphites", "sulphur dioxide"]),
        row("lupin", "lupin", &["lupin"]),
        row("molluscs", "molluscs", &["mollusc", "molluscs"]),
        row("gluten.wheat", "wheat", &["wheat"]),
        row("gluten.spelt", "spelt wheat", &["spelt wheat", "spelt"]),
        row("gluten.khorasan", "khorasan wheat", &["khorasan wheat", "khorasan"]),
        row("gluten.rye", "rye", &["rye"]),
        row("gluten.barley", "barley", &["barley"]),
        row("gluten.oats", "oats", &["oat", "oats"]),
        row("nuts.almond", "almonds", &["almond", "almonds"]),
        row("nuts.hazelnut", "hazelnuts", &["hazelnut", "hazelnuts"]),
        row("nuts.walnut", "walnuts", &["walnut", "walnuts"]),
        row("nuts.cashew", "cashews", &["cashew", "cashews"]),
        row("nuts.pecan", "pecan nuts", &["pecan", "pecans"]),
        row("nuts.brazil", "Brazil nuts", &["brazil nut", "brazil nuts"]),
        row("nuts.pistachio", "pistachio nuts", &["pistachio", "pistachios"]),
        row("nuts.macadamia", "macadamia nuts", &["macadamia", "macadamias"]),
        row("nuts.pine-nut", "pine nuts", &["pine nut", "pine nuts"]),
    ],
};
