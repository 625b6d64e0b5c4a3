//! What is known of each dimension, to explain a quantity that can't be read.

use chablon_quantity::{
    CountUnit, Currency, DensityUnit, LengthUnit, MassUnit, ShareUnit, TemperatureUnit, TimeUnit,
    Unit, VolumeUnit,
};

/// What is known of a dimension.
pub(super) struct Dimension {
    /// What it is called in a message: `a mass`.
    pub(super) name: &'static str,
    /// One way to write a quantity of it.
    pub(super) example: &'static str,
    /// Its units as written.
    pub(super) symbols: fn() -> Vec<String>,
    /// Whether a unit is one of its own.
    pub(super) knows: fn(&str) -> bool,
}

/// The dimension of a unit type.
pub(super) trait Dimensioned: Unit {
    /// What is known of it.
    const OF: Dimension;
}

macro_rules! dimensions {
    ($($unit:ty, $example:literal;)+) => {$(
        impl Dimensioned for $unit {
            const OF: Dimension = Dimension {
                name: <$unit as Unit>::DIMENSION,
                example: $example,
                symbols: || <$unit>::all().iter().map(Unit::symbol).collect(),
                knows: |symbol| <$unit>::from_symbol(symbol).is_some(),
            };
        }
    )+};
}
dimensions! {
    MassUnit, "500 g";
    VolumeUnit, "250 mL";
    LengthUnit, "4 mm";
    TimeUnit, "10 min";
    TemperatureUnit, "80 °C";
    ShareUnit, "5 %";
    CountUnit, "2 pieces";
    DensityUnit, "1.03 g/mL";
}

/// An amount of money.
pub(super) const MONEY: Dimension = Dimension {
    name: "an amount of money",
    example: "12.50 EUR",
    symbols: || vec!["EUR".to_owned(), "GBP".to_owned(), "USD".to_owned()],
    knows: |symbol| symbol.parse::<Currency>().is_ok(),
};

/// Money by the hour.
pub(super) const RATE: Dimension = Dimension {
    name: "a rate by the hour",
    example: "24.50 EUR/h",
    symbols: || vec!["EUR/h".to_owned(), "GBP/h".to_owned(), "USD/h".to_owned()],
    knows: |symbol| symbol.strip_suffix("/h").is_some_and(|code| (MONEY.knows)(code)),
};

/// What a unit measures, in words.
pub(super) fn measured_by(symbol: &str) -> Option<&'static str> {
    const ALL: [Dimension; 10] = [
        MassUnit::OF,
        VolumeUnit::OF,
        LengthUnit::OF,
        TimeUnit::OF,
        TemperatureUnit::OF,
        ShareUnit::OF,
        CountUnit::OF,
        DensityUnit::OF,
        RATE,
        MONEY,
    ];
    ALL.iter().find(|dimension| (dimension.knows)(symbol)).map(|dimension| dimension.name)
}

/// How people write units that a book writes otherwise, in lower case. Common practice, no source.
const SPELLINGS: &[(&str, &[&str])] = &[
    ("mg", &["milligram", "milligrams"]),
    ("g", &["gr", "grs", "gm", "gms", "gram", "grams", "gramme", "grammes"]),
    ("kg", &["kilo", "kilos", "kgs", "kgr", "kilogram", "kilograms"]),
    ("oz", &["ounce", "ounces", "ozs"]),
    ("lb", &["lbs", "pound", "pounds"]),
    ("mL", &["cc", "millilitre", "millilitres", "milliliter", "milliliters", "mls"]),
    ("cL", &["centilitre", "centilitres", "centiliter"]),
    ("dL", &["decilitre", "decilitres", "deciliter"]),
    ("L", &["lt", "ltr", "ltrs", "litre", "litres", "liter", "liters"]),
    ("tsp", &["teaspoon", "teaspoons", "tsps"]),
    ("tbsp", &["tablespoon", "tablespoons", "tbs", "tbsps"]),
    ("floz", &["fl oz", "fl.oz", "fl. oz", "fl. oz.", "fl.oz.", "fluid ounce", "fluid ounces"]),
    ("cup", &["cups"]),
    ("pt", &["pint", "pints"]),
    ("qt", &["quart", "quarts"]),
    ("gal", &["gallon", "gallons"]),
    ("mm", &["millimetre", "millimetres", "millimeter", "millimeters"]),
    ("cm", &["centimetre", "centimetres", "centimeter", "centimeters"]),
    ("m", &["metre", "metres", "meter", "meters"]),
    ("in", &["inch", "inches", "\""]),
    ("s", &["sec", "secs", "second", "seconds"]),
    ("min", &["mins", "mn", "minute", "minutes", "'"]),
    ("h", &["hr", "hrs", "hour", "hours"]),
    ("d", &["day", "days"]),
    ("°C", &["c", "° c", "º c", "ºc", "celsius", "degrees", "degrees c", "deg c"]),
    ("°F", &["f", "° f", "º f", "ºf", "fahrenheit", "degrees f", "deg f"]),
    ("pieces", &["pc", "pcs", "pce", "pces", "each", "ea", "unit", "units", "x", "no"]),
    ("%", &["percent", "per cent", "pct", "pc."]),
    ("EUR", &["€", "euro", "euros"]),
    ("EUR/h", &["€/h", "euro/h", "eur/hr", "eur/hour", "eur per hour"]),
    ("g/mL", &["g/cc", "g/cm3", "g/cm³"]),
    ("kg/L", &["kg/dm3", "kg/dm³", "kg/litre"]),
];

/// The unit that was meant, among those of some dimensions.
pub(super) fn meant_unit(written: &str, wanted: &[Dimension]) -> Option<String> {
    let written = written.trim().trim_end_matches('.');
    let lower = written.to_lowercase();
    let symbols: Vec<String> = wanted.iter().flat_map(|one| (one.symbols)()).collect();
    let by_case = symbols.iter().find(|symbol| symbol.to_lowercase() == lower).cloned();
    let known = |symbol: &str| wanted.iter().any(|one| (one.knows)(symbol));
    let by_capitals = || Some(written.to_uppercase()).filter(|upper| known(upper));
    let by_spelling = || {
        let names = |spellings: &[&str]| spellings.contains(&lower.as_str());
        let (symbol, _) =
            SPELLINGS.iter().find(|(symbol, others)| known(symbol) && names(others))?;
        Some((*symbol).to_owned())
    };
    let by_letters = || {
        let near = |symbol: &&String| strsim::damerau_levenshtein(symbol, written) == 1;
        // Every unit of one letter is near every other.
        symbols.iter().filter(|symbol| symbol.chars().count() > 2).find(near).cloned()
    };
    by_case.or_else(by_spelling).or_else(by_letters).or_else(by_capitals)
}
