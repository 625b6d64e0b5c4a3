//! Numbers and quantities.

use chablon_sdk::quantity::{
    Exact, Grams as _, GramsPerMillilitre as _, Millilitres as _, Millimetres as _, MoneyAmount,
    Seconds as _,
};
use serde_json::{Value, json};

use crate::given::{Answer, Given, Measured, number};

/// A figure with so many decimals.
pub(crate) fn figure(exact: &Exact, decimals: u32) -> Value {
    json!({"exact": exact.to_string(), "rounded": exact.round(decimals).to_string()})
}

pub(crate) fn percent(share: &Exact) -> Value {
    figure(&(share * Exact::from(100)), 2)
}

pub(crate) fn read_number(given: Given<'_>) -> Answer {
    let decimals = given.0["decimals"].as_u64().unwrap_or(6);
    let decimals = u32::try_from(decimals).expect("a few decimals");
    Ok(figure(&given.number("text")?, decimals))
}

#[expect(clippy::unnecessary_wraps, reason = "every operation answers alike")]
pub(crate) fn round(given: Given<'_>) -> Answer {
    let exact: Exact = given.text("exact").parse().expect("an exact number");
    let decimals = u32::try_from(given.whole("decimals")).expect("a few decimals");
    Ok(json!({"rounded": exact.round(decimals).to_string()}))
}

pub(crate) fn read_quantity(given: Given<'_>) -> Answer {
    let measured = Measured::read(given.text("dimension"), given.text("text"))?;
    let (unit, value) = match measured {
        Measured::Mass(mass) => ("g", figure(&mass.grams(), 3)),
        Measured::Volume(volume) => ("ml", figure(&volume.millilitres(), 3)),
        Measured::Length(length) => ("mm", figure(&length.millimetres(), 3)),
        Measured::Time(time) => ("min", figure(&(time.seconds() / Exact::from(60)), 3)),
        Measured::Count(pieces) => ("pieces", figure(&pieces.0, 3)),
        Measured::Share(share) => ("percent", percent(&share.0)),
        Measured::Density(density) => ("g_per_ml", figure(&density.grams_per_millilitre(), 4)),
        Measured::Temperature(one) => ("celsius", figure(&one.celsius(), 2)),
    };
    Ok(json!({unit: value}))
}

pub(crate) fn read_money(given: Given<'_>) -> Answer {
    let money: MoneyAmount = given.text("text").parse()?;
    let decimals = money.currency.minor_decimals();
    let amount = figure(&money.exact(), decimals);
    Ok(json!({"amount": amount, "currency": money.currency.to_string()}))
}

pub(crate) fn price_for_share(given: Given<'_>) -> Answer {
    let food: MoneyAmount = given.text("food").parse()?;
    let price = chablon_arith::price_for_share(&food.exact(), &given.share("share")?);
    let price = price.map(|price| figure(&price, 4));
    Ok(json!({"price": price, "currency": food.currency.to_string()}))
}

/// A target in authored texts as one of ours.
pub(crate) fn target(given: Given<'_>) -> Result<chablon_arith::Target, crate::given::Refusal> {
    use chablon_arith::Target;
    let (kind, value) = given.0.as_object().and_then(|one| one.iter().next()).expect("a target");
    let text = || value.as_str().expect("a text");
    Ok(match kind.as_str() {
        "pieces" => Target::Pieces(number(text())?),
        "mass" => Target::NetMass(given.mass("mass")?.grams()),
        "factor" => Target::Factor(number(text())?),
        "batches" => Target::WrittenBatches(number(text())?),
        "on_hand" => {
            let stock = Given(value);
            let ingredient = stock.text("ingredient").parse().expect("an id");
            Target::OnHand { ingredient, mass: stock.mass("mass")?.grams() }
        }
        other => panic!("`{other}` is no kind of target"),
    })
}
