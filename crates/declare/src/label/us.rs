//! 21 CFR 101.9: rounding per serving, energy by the general factors.

use chablon_model::{LabelRegime, Nutrient};
use chablon_quantity::Number;

use super::rounding::{Band, Limit, Rounding, Shows};
use super::{Regime, RowRule, Value};
use crate::number::dec;

const ONE: Number = Number::whole(1);
const FIVE: Number = Number::whole(5);
const TEN: Number = Number::whole(10);
const HALF: Number = dec(5, -1);

const fn band(limit: Limit, shows: Shows) -> Band {
    Band { limit, shows }
}

const CALORIES: Rounding = Rounding {
    bands: &[
        band(Limit::Below(FIVE), Shows::Zero),
        band(Limit::AtMost(Number::whole(50)), Shows::Nearest(FIVE)),
        band(Limit::Rest, Shows::Nearest(TEN)),
    ],
};

const FAT: Rounding = Rounding {
    bands: &[
        band(Limit::Below(HALF), Shows::Zero),
        band(Limit::Below(FIVE), Shows::Nearest(HALF)),
        band(Limit::Rest, Shows::Nearest(ONE)),
    ],
};

const SODIUM: Rounding = Rounding {
    bands: &[
        band(Limit::Below(FIVE), Shows::Zero),
        band(Limit::AtMost(Number::whole(140)), Shows::Nearest(FIVE)),
        band(Limit::Rest, Shows::Nearest(TEN)),
    ],
};

/// Total carbohydrate, fibre, sugars, protein.
const MACRO: Rounding = Rounding {
    bands: &[
        band(Limit::Below(HALF), Shows::Zero),
        band(Limit::Below(ONE), Shows::Below(ONE)),
        band(Limit::Rest, Shows::Nearest(ONE)),
    ],
};

const fn row(
    key: &'static str,
    names: &'static [(&'static str, &'static str)],
    value: Value,
    unit: &'static str,
    rounding: &'static Rounding,
) -> RowRule {
    RowRule { key, names, value, unit, rounding, tolerance: None, mandatory: true, of_which: false }
}

const fn of_which(row: RowRule) -> RowRule {
    RowRule { of_which: true, ..row }
}

pub(super) static REGIME: Regime = Regime {
    regime: LabelRegime::Us,
    source: "21 CFR 101.9; rounding: FDA, A Food Labeling Guide, appendix H",
    rows: ROWS,
    below: "less than ",
    not_known: &[
        "trans fat",
        "cholesterol",
        "added sugars",
        "vitamin D",
        "calcium",
        "iron",
        "potassium",
        "% daily value",
    ],
    notes: &[
        "total carbohydrate includes fibre",
        "sodium is the salt equivalent divided by 2.5",
        "the general factors of energy are from memory; alcohol is counted at 7 kcal/g, which is \
         common practice",
        "protein below 1 g may be shown as 1 g",
    ],
};

const ROWS: &[RowRule] = &[
    row("calories", &[("en", "calories")], Value::Kilocalories, "kcal", &CALORIES),
    row("total_fat", &[("en", "total fat")], Value::Nutrients(&[(Nutrient::Fat, ONE)]), "g", &FAT),
    of_which(row(
        "saturated_fat",
        &[("en", "saturated fat")],
        Value::Nutrients(&[(Nutrient::Saturates, ONE)]),
        "g",
        &FAT,
    )),
    row(
        "sodium",
        &[("en", "sodium")],
        // 1 g of salt is 0.4 g of sodium, so 400 mg.
        Value::Nutrients(&[(Nutrient::Salt, Number::whole(400))]),
        "mg",
        &SODIUM,
    ),
    row(
        "total_carbohydrate",
        &[("en", "total carbohydrate")],
        Value::Nutrients(&[(Nutrient::Carbohydrate, ONE), (Nutrient::Fibre, ONE)]),
        "g",
        &MACRO,
    ),
    of_which(row(
        "dietary_fiber",
        &[("en", "dietary fiber")],
        Value::Nutrients(&[(Nutrient::Fibre, ONE)]),
        "g",
        &MACRO,
    )),
    of_which(row(
        "total_sugars",
        &[("en", "total sugars")],
        Value::Nutrients(&[(Nutrient::Sugars, ONE)]),
        "g",
        &MACRO,
    )),
    row(
        "protein",
        &[("en", "protein")],
        Value::Nutrients(&[(Nutrient::Protein, ONE)]),
        "g",
        &MACRO,
    ),
];
