//! Regulation (EU) No 1169/2011: energy by Annex XIV, order by Annex XV, rounding by the
//! Commission's guidance of December 2012, section 6.

use chablon_model::{LabelRegime, Nutrient};
use chablon_quantity::Number;

use super::rounding::{Band, Limit, Rounding, Shows};
use super::{Regime, RowRule, Value};
use crate::number::dec;

const ONE: Number = Number::whole(1);
const TENTH: Number = dec(1, -1);
const HUNDREDTH: Number = dec(1, -2);

const fn band(limit: Limit, shows: Shows) -> Band {
    Band { limit, shows }
}

const ENERGY: Rounding = Rounding { bands: &[band(Limit::Rest, Shows::Nearest(ONE))] };

/// Fat, carbohydrate, sugars, polyols, fibre, protein.
const MACRO: Rounding = Rounding {
    bands: &[
        band(Limit::AtMost(dec(5, -1)), Shows::Below(dec(5, -1))),
        band(Limit::Below(Number::whole(10)), Shows::Nearest(TENTH)),
        band(Limit::Rest, Shows::Nearest(ONE)),
    ],
};

const SATURATES: Rounding = Rounding {
    bands: &[
        band(Limit::AtMost(TENTH), Shows::Below(TENTH)),
        band(Limit::Below(Number::whole(10)), Shows::Nearest(TENTH)),
        band(Limit::Rest, Shows::Nearest(ONE)),
    ],
};

const SALT: Rounding = Rounding {
    bands: &[
        band(Limit::AtMost(dec(125, -4)), Shows::Below(HUNDREDTH)),
        band(Limit::Below(ONE), Shows::Nearest(HUNDREDTH)),
        band(Limit::Rest, Shows::Nearest(TENTH)),
    ],
};

const fn energy(key: &'static str, value: Value, unit: &'static str) -> RowRule {
    RowRule {
        key,
        names: &[("en", "energy"), ("fr", "énergie")],
        value,
        unit,
        rounding: &ENERGY,
        tolerance: None,
        mandatory: true,
        of_which: false,
    }
}

const fn nutrient(
    key: &'static str,
    names: &'static [(&'static str, &'static str)],
    terms: &'static [(Nutrient, Number)],
    tolerance: Nutrient,
    rounding: &'static Rounding,
) -> RowRule {
    RowRule {
        key,
        names,
        value: Value::Nutrients(terms),
        unit: "g",
        rounding,
        tolerance: Some(tolerance),
        mandatory: true,
        of_which: false,
    }
}

const fn of_which(row: RowRule) -> RowRule {
    RowRule { of_which: true, ..row }
}

const fn voluntary(row: RowRule) -> RowRule {
    RowRule { mandatory: false, ..row }
}

pub(super) static REGIME: Regime = Regime {
    regime: LabelRegime::Eu,
    source: "Regulation (EU) No 1169/2011, Annexes I, XIV and XV; rounding and tolerances: European \
             Commission guidance of December 2012",
    rows: ROWS,
    below: "<",
    not_known: &["mono-unsaturates", "polyunsaturates", "starch", "vitamins and minerals"],
    notes: &[
        "the order of rows and the tolerances are from memory of Annex XV and of the guidance",
        "figures of 0 up to the first limit may be shown as 0 or as below it; below it is shown \
         unless the figure is exactly 0",
    ],
};

const ROWS: &[RowRule] = &[
    energy("energy_kj", Value::Kilojoules, "kJ"),
    energy("energy_kcal", Value::Kilocalories, "kcal"),
    nutrient(
        "fat",
        &[("en", "fat"), ("fr", "matières grasses")],
        &[(Nutrient::Fat, ONE)],
        Nutrient::Fat,
        &MACRO,
    ),
    of_which(nutrient(
        "saturates",
        &[("en", "of which saturates"), ("fr", "dont acides gras saturés")],
        &[(Nutrient::Saturates, ONE)],
        Nutrient::Saturates,
        &SATURATES,
    )),
    nutrient(
        "carbohydrate",
        &[("en", "carbohydrate"), ("fr", "glucides")],
        &[(Nutrient::Carbohydrate, ONE)],
        Nutrient::Carbohydrate,
        &MACRO,
    ),
    of_which(nutrient(
        "sugars",
        &[("en", "of which sugars"), ("fr", "dont sucres")],
        &[(Nutrient::Sugars, ONE)],
        Nutrient::Sugars,
        &MACRO,
    )),
    voluntary(of_which(nutrient(
        "polyols",
        &[("en", "of which polyols"), ("fr", "dont polyols")],
        &[(Nutrient::Polyols, ONE)],
        Nutrient::Polyols,
        &MACRO,
    ))),
    voluntary(nutrient(
        "fibre",
        &[("en", "fibre"), ("fr", "fibres alimentaires")],
        &[(Nutrient::Fibre, ONE)],
        Nutrient::Fibre,
        &MACRO,
    )),
    nutrient(
        "protein",
        &[("en", "protein"), ("fr", "protéines")],
        &[(Nutrient::Protein, ONE)],
        Nutrient::Protein,
        &MACRO,
    ),
    nutrient(
        "salt",
        &[("en", "salt"), ("fr", "sel")],
        &[(Nutrient::Salt, ONE)],
        Nutrient::Salt,
        &SALT,
    ),
];
