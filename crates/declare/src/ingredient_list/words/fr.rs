//! French, after the wording of Annex II to Regulation (EU) No 1169/2011.

use super::{AllergenWords, Words, row};

pub(super) static WORDS: Words = Words {
    language: "fr",
    ingredients: "Ingrédients : ",
    may_contain: "Peut contenir : ",
    point: ",",
    allergens: &[
        row("gluten", "céréales contenant du gluten", &["gluten"]),
        row("crustaceans", "crustacés", &["crustacé", "crustacés"]),
        row("egg", "œuf", &["œuf", "œufs", "oeuf", "oeufs"]),
        row("fish", "poisson", &["poisson", "poissons"]),
        row("peanuts", "arachides", &["arachide", "arachides"]),
        row("soya", "soja", &["soja"]),
        // Lait de coco, lait d'amande: only milk that is of nothing else.
        AllergenWords { unless_before: &["d", "de"], ..row("milk", "lait", &["lait"]) },
        row("nuts", "fruits à coque", &["fruits à coque"]),
        row("celery", "céleri", &["céleri"]),
        row("mustard", "moutarde", &["moutarde"]),
        row("sesame", "sésame", &["sésame"]),
        row("sulphites", "sulfites", &["sulfite", "sulfites", "anhydride sulfureux"]),
        row("lupin", "lupin", &["lupin"]),
        row("molluscs", "mollusques", &["mollusque", "mollusques"]),
        row("gluten.wheat", "blé", &["blé", "froment"]),
        row("gluten.spelt", "épeautre (blé)", &["épeautre"]),
        row("gluten.khorasan", "blé de khorasan", &["blé de khorasan", "khorasan"]),
        row("gluten.rye", "seigle", &["seigle"]),
        row("gluten.barley", "orge", &["orge"]),
        row("gluten.oats", "avoine", &["avoine"]),
        row("nuts.almond", "amandes", &["amande", "amandes"]),
        row("nuts.hazelnut", "noisettes", &["noisette", "noisettes"]),
        // `noix` alone could be any nut.
        row("nuts.walnut", "noix", &["cerneaux de noix"]),
        row("nuts.cashew", "noix de cajou", &["noix de cajou"]),
        row("nuts.pecan", "noix de pécan", &["noix de pécan", "pécan", "pécans"]),
        row("nuts.brazil", "noix du Brésil", &["noix du brésil"]),
        row("nuts.pistachio", "pistaches", &["pistache", "pistaches"]),
        row("nuts.macadamia", "noix de macadamia", &["noix de macadamia", "macadamia"]),
        row("nuts.pine-nut", "pignons de pin", &["pignon de pin", "pignons de pin"]),
    ],
};
