//! Dough, set, air, syrup, formulas, eggs.

use chablon_arith::dough::{
    self, Addition, Bloom, BloomRule, Brix, DoughError, EggClass, EggPart, EggSize, FormulaLine,
    MeltingHeat, Mixing, Root, SheetGrade, Stage, WetLine, interval_degrees,
};
use chablon_sdk::quantity::{
    Exact, Grams as _, GramsPerMillilitre as _, Mass, Pieces, Share, ShareUnit, TemperatureUnit,
};
use serde_json::{Value, json};

use crate::given::{Answer, Given, Refusal, quantity};
use crate::numbers::{figure, percent};

impl From<DoughError> for Refusal {
    fn from(error: DoughError) -> Self {
        Self::Word(match error {
            DoughError::OutOfRange { .. } => "outside-the-source",
            DoughError::NoSuch { .. } => "not-a-strength",
            DoughError::NotAboveZero { .. } | DoughError::NothingMixed => "not-above-0",
            DoughError::BelowZero { .. } => "below-0",
            DoughError::NoSuchWater { .. } => "water-not-liquid",
            DoughError::WarmerThanTap { .. } => "ice-does-not-warm",
            DoughError::HeavierThanMix { .. } => "heavier-than-mix",
            DoughError::Unreachable { .. } | DoughError::NotBetween { .. } => "out-of-reach",
            DoughError::NoBase => "no-base",
            DoughError::NoShares => "no-percentages",
        })
    }
}

fn grams(mass: &Mass) -> Value {
    figure(&mass.grams(), 3)
}

fn bowl(given: Given<'_>) -> Result<Mixing, Refusal> {
    let preferment = given.has("preferment").then(|| given.temperature("preferment"));
    Ok(Mixing {
        flour: given.temperature("flour")?,
        room: given.temperature("room")?,
        preferment: preferment.transpose()?,
    })
}

pub(crate) fn dough_water(given: Given<'_>) -> Answer {
    let mut friction = given.difference("friction")?;
    if given.has("mixing") {
        friction = dough::friction_of(&friction, &given.time("mixing")?);
    }
    let water = bowl(given)?.water(&given.temperature("dough")?, &friction)?;
    Ok(json!({"water_celsius": figure(&water.celsius(), 2)}))
}

pub(crate) fn dough_friction(given: Given<'_>) -> Answer {
    let (dough, water) = (given.temperature("dough")?, given.temperature("water")?);
    let friction = bowl(given)?.friction(&dough, &water);
    let degrees = interval_degrees(&friction, TemperatureUnit::Celsius);
    Ok(json!({"friction_celsius": figure(&degrees, 2)}))
}

pub(crate) fn ice(given: Given<'_>) -> Answer {
    let melting = match given.text("melting") {
        "round" => MeltingHeat::Bakers,
        "measured" => MeltingHeat::Measured,
        other => panic!("`{other}` is no heat of melting"),
    };
    let (water, tap) = (given.mass("water")?, given.temperature("tap")?);
    let wanted = given.temperature("wanted")?;
    let iced = match given.text("way") {
        "in-place" => dough::ice_in_place(&water, &tap, &wanted, melting),
        "on-top" => dough::ice_on_top(&water, &tap, &wanted, melting),
        other => panic!("`{other}` is no way to ice water"),
    }?;
    Ok(json!({"ice_g": grams(&iced.ice), "water_g": grams(&iced.water)}))
}

fn root(root: &Root) -> Value {
    let mut shown =
        json!({"square": root.square().to_string(), "rounded": root.round(3).to_string()});
    if let Some(exact) = root.exact() {
        shown["exact"] = exact.to_string().into();
    }
    shown
}

pub(crate) fn gelatine(given: Given<'_>) -> Answer {
    let rule = match given.text("rule") {
        "linear" => BloomRule::Proportional,
        "root" => BloomRule::SquareRoot,
        other => panic!("`{other}` is no rule for gelatine"),
    };
    let mass = given.mass("mass")?;
    let (recipe, own) = (Bloom(given.number("recipe_bloom")?), Bloom(given.number("own_bloom")?));
    let exchanged = dough::exchange_gelatine(&mass, &recipe, &own, rule)?;
    Ok(json!({"mass_g": root(&exchanged.grams)}))
}

pub(crate) fn gelatine_sheets(given: Given<'_>) -> Answer {
    let grade = match given.text("grade") {
        "bronze" => SheetGrade::Bronze,
        "silver" => SheetGrade::Silver,
        "gold" => SheetGrade::Gold,
        "platinum" => SheetGrade::Platinum,
        other => panic!("`{other}` is no grade"),
    };
    if given.has("mass") {
        let sheets = grade.sheets_for(&given.mass("mass")?)?;
        return Ok(json!({"sheets": figure(&sheets.0, 3)}));
    }
    Ok(json!({"mass_g": grams(&grade.mass_of(&Pieces(given.number("sheets")?))?)}))
}

pub(crate) fn overrun(given: Given<'_>) -> Answer {
    let overrun = dough::overrun(&given.mass("mix")?, &given.mass("product")?)?;
    Ok(json!({"overrun_percent": percent(&overrun.0)}))
}

pub(crate) fn aerated(given: Given<'_>) -> Answer {
    let overrun = given.share("overrun")?;
    if given.has("mass") {
        return Ok(json!({"mass_g": grams(&dough::aerated_mass(&given.mass("mass")?, &overrun)?)}));
    }
    let density = dough::aerated_density(&given.density("density")?, &overrun)?;
    Ok(json!({"g_per_ml": figure(&density.grams_per_millilitre(), 4)}))
}

pub(crate) fn before_air(given: Given<'_>) -> Answer {
    let density = dough::mix_density(&given.density("density")?, &given.share("overrun")?)?;
    Ok(json!({"g_per_ml": figure(&density.grams_per_millilitre(), 4)}))
}

fn strength(given: Given<'_>, key: &str) -> Result<Brix, Refusal> {
    Ok(Brix::new(given.share(key)?.0 * Exact::from(100))?)
}

fn brix(brix: &Brix) -> Value {
    figure(brix.degrees(), 2)
}

pub(crate) fn syrup_of(given: Given<'_>) -> Answer {
    let strength = Brix::of(&given.mass("sugar")?, &given.mass("water")?)?;
    let ratio = strength.sugar_per_100_g_water().map(|ratio| figure(&ratio, 3));
    Ok(json!({"brix": brix(&strength), "sugar_per_100_g_water": ratio}))
}

pub(crate) fn syrup_mix(given: Given<'_>) -> Answer {
    let parts: Result<Vec<_>, Refusal> = given
        .parts("parts")
        .map(|part| Ok((part.mass("mass")?, strength(part, "strength")?)))
        .collect();
    Ok(json!({"brix": brix(&dough::mix(&parts?)?)}))
}

pub(crate) fn syrup_bring_to(given: Given<'_>) -> Answer {
    let (from, to) = (strength(given, "from")?, strength(given, "to")?);
    let (add, mass) = match dough::bring_to(&given.mass("syrup")?, &from, &to)? {
        Addition::Water(mass) => ("water", mass),
        Addition::Sugar(mass) => ("sugar", mass),
    };
    Ok(json!({"add": add, "mass_g": grams(&mass)}))
}

pub(crate) fn syrup_boil_down(given: Given<'_>) -> Answer {
    let (from, to) = (strength(given, "from")?, strength(given, "to")?);
    let boiled = dough::boil_down(&given.mass("syrup")?, &from, &to)?;
    Ok(json!({"water_g": grams(&boiled.water), "left_g": grams(&boiled.left)}))
}

pub(crate) fn syrup_boils_at(given: Given<'_>) -> Answer {
    let boiling = dough::boiling_point(&strength(given, "strength")?)?;
    Ok(json!({"celsius": figure(&boiling.temperature.celsius(), 2)}))
}

pub(crate) fn syrup_that_boils_at(given: Given<'_>) -> Answer {
    let boiling = dough::boiling_strength(&given.temperature("temperature")?)?;
    Ok(json!({"brix": brix(&boiling.brix)}))
}

pub(crate) fn syrup_saturated_at(given: Given<'_>) -> Answer {
    let saturated = dough::saturation(&given.temperature("temperature")?)?;
    Ok(json!({"brix": brix(&saturated.brix)}))
}

pub(crate) fn syrup_crystallises_below(given: Given<'_>) -> Answer {
    let saturated = dough::saturation_temperature(&strength(given, "strength")?)?;
    Ok(json!({"celsius": figure(&saturated.temperature.celsius(), 2)}))
}

pub(crate) fn sugar_stage(given: Given<'_>) -> Answer {
    let altitude = given.length_or("altitude", "0 m")?;
    let reading = dough::stage_at(&given.temperature("temperature")?, &altitude)?;
    let at: Vec<&str> = reading.at.iter().map(|stage| stage.name()).collect();
    Ok(json!({
        "at": at,
        "passed": reading.passed.map(Stage::name),
        "next": reading.next.map(Stage::name),
    }))
}

pub(crate) fn sugar_stage_range(given: Given<'_>) -> Answer {
    let named = |stage: &Stage| stage.name() == given.text("stage");
    let stage = Stage::ALL.into_iter().find(named).expect("a stage of cooked sugar");
    let range = stage.range_at(&given.length_or("altitude", "0 m")?)?;
    let (from, to) = (range.from.celsius(), range.to.celsius());
    Ok(json!({"from_celsius": figure(&from, 2), "to_celsius": figure(&to, 2)}))
}

pub(crate) fn percentages(given: Given<'_>) -> Answer {
    let line = |one: Given<'_>| -> Result<FormulaLine, Refusal> {
        Ok(FormulaLine { mass: one.mass("mass")?, base: one.flag("base") })
    };
    let lines: Result<Vec<_>, Refusal> = given.parts("lines").map(line).collect();
    let found = dough::percentages(&lines?)?;
    let shares: Value = found.lines.iter().map(|share| percent(&share.0)).collect();
    let total = percent(&found.total.0);
    Ok(json!({"base_g": grams(&found.base), "percent": shares, "total_percent": total}))
}

pub(crate) fn weights(given: Given<'_>) -> Answer {
    let shares: Result<Vec<Share>, Refusal> =
        given.parts("percent").map(|one| quantity::<ShareUnit>(one.itself())).collect();
    let weights = if given.has("total") {
        dough::weights_for_total(&shares?, &given.mass("total")?)
    } else {
        dough::weights_for_base(&shares?, &given.mass("base")?)
    }?;
    let masses: Value = weights.lines.iter().map(grams).collect();
    let total = grams(&weights.total);
    Ok(json!({"base_g": grams(&weights.base), "masses_g": masses, "total_g": total}))
}

pub(crate) fn hydration(given: Given<'_>) -> Answer {
    let line = |one: Given<'_>| -> Result<WetLine, Refusal> {
        let water = one.share_or("water", "0 %")?;
        Ok(WetLine { mass: one.mass("mass")?, base: one.flag("base"), water })
    };
    let lines: Result<Vec<_>, Refusal> = given.parts("lines").map(line).collect();
    Ok(json!({"hydration_percent": percent(&dough::hydration(&lines?)?.0)}))
}

pub(crate) fn blend(given: Given<'_>) -> Answer {
    let (first, second) = (given.share("first")?, given.share("second")?);
    let blend = dough::blend(&first, &second, &given.share("target")?)?;
    let (first, second) = blend.of_total(&given.mass("total")?)?;
    Ok(json!({
        "first_percent": percent(&blend.first.0),
        "second_percent": percent(&blend.second.0),
        "first_g": grams(&first),
        "second_g": grams(&second),
    }))
}

pub(crate) fn eggs(given: Given<'_>) -> Answer {
    let mass = given.mass("mass")?;
    let size = given.maybe_text("size").map(|size| match size {
        "small" => EggSize::Small,
        "medium" => EggSize::Medium,
        "large" => EggSize::Large,
        "extra-large" => EggSize::ExtraLarge,
        "jumbo" => EggSize::Jumbo,
        other => panic!("`{other}` is no size of egg"),
    });
    let eggs = match size {
        Some(size) => size.eggs_for(&mass)?,
        None if given.text("part") == "white" => EggPart::White.large_eggs_for(&mass)?,
        None => EggPart::Yolk.large_eggs_for(&mass)?,
    };
    Ok(json!({"eggs": figure(&eggs.0, 3)}))
}

pub(crate) fn egg_class(given: Given<'_>) -> Answer {
    let class = match EggClass::of(&given.mass("in_shell")?)? {
        EggClass::Small => "S",
        EggClass::Medium => "M",
        EggClass::Large => "L",
        EggClass::VeryLarge => "XL",
    };
    Ok(json!({"class": class}))
}
