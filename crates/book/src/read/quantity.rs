//! Quantities: numbers with units, and why one can't be read.

use std::num::NonZeroU32;

use chablon_model::{Amount, Pack};
use chablon_quantity::{
    Authored, CountUnit, HourlyRate, LengthUnit, MassUnit, MoneyAmount, Number, NumberError,
    ShareUnit, Unit, VolumeUnit, split,
};

use super::advice::number_advice;
use super::dimension::{Dimension, Dimensioned, MONEY, RATE, meant_unit, measured_by};
use super::value::{Value, says_nothing};
use crate::suggest::join;
use crate::{Finding, Span};

/// One way to give an amount by shape.
const SHAPE: &str = r#"{ disc = "16 cm", thickness = "4 mm" }"#;

/// A quantity of one dimension.
pub(super) fn quantity<U: Dimensioned>(value: &Value<'_>) -> Option<Authored<U>> {
    let text = value.string()?;
    text.parse().ok().or_else(|| explain(value, text, &[U::OF]))
}

/// A quantity of one dimension that must be above 0.
pub(super) fn above_zero<U: Dimensioned>(value: &Value<'_>) -> Option<Authored<U>> {
    let read = quantity::<U>(value)?;
    positive(value, &read.number).then_some(read)
}

/// A whole number from 1.
pub(super) fn from_one(value: &Value<'_>) -> Option<NonZeroU32> {
    let whole = value.integer()?;
    u32::try_from(whole).ok().and_then(NonZeroU32::new).or_else(|| {
        let message = format!("`{}` must be from 1 to {}", value.key, u32::MAX);
        value.refuse(Finding::error("out-of-range", message).at(value.span, "out of range"))
    })
}

/// Whether a number is above 0; it is noted where it isn't.
fn positive(value: &Value<'_>, number: &Number) -> bool {
    let positive = number.exact().is_positive();
    if !positive {
        let message = format!("`{}` must be above 0", value.key);
        value.page.notes.note(Finding::error("not-above-zero", message).at(value.span, "0").hint(
            match value.key {
                "amount" => "give the true figure, or take the line out",
                _ => "give the true figure, or take the key out if it may be left out",
            },
        ));
    }
    positive
}

/// How much of something a line takes.
pub(super) fn amount(value: &Value<'_>) -> Option<Amount> {
    let text = value.string()?;
    if text == "to taste" {
        return Some(Amount::ToTaste);
    }
    let wanted = [MassUnit::OF, VolumeUnit::OF, CountUnit::OF, ShareUnit::OF];
    let amount = mass_volume_or_count(text, Amount::Mass, Amount::Volume, Amount::Count)
        .or_else(|| text.parse().ok().map(Amount::Share))
        .or_else(|| explain(value, text, &wanted))?;
    let number = match &amount {
        Amount::Mass(mass) => mass.number,
        Amount::Volume(volume) => volume.number,
        Amount::Count(count) => count.number,
        Amount::Share(share) => share.number,
        Amount::Shape(_) | Amount::ToTaste => return Some(amount),
    };
    positive(value, &number).then_some(amount)
}

/// What is bought for a price.
pub(super) fn pack(value: &Value<'_>) -> Option<Pack> {
    let text = value.string()?;
    let wanted = [MassUnit::OF, VolumeUnit::OF, CountUnit::OF];
    let pack = mass_volume_or_count(text, Pack::Mass, Pack::Volume, Pack::Count)
        .or_else(|| explain(value, text, &wanted))?;
    let number = match &pack {
        Pack::Mass(mass) => mass.number,
        Pack::Volume(volume) => volume.number,
        Pack::Count(count) => count.number,
    };
    positive(value, &number).then_some(pack)
}

fn mass_volume_or_count<T>(
    text: &str,
    mass: impl Fn(Authored<MassUnit>) -> T,
    volume: impl Fn(Authored<VolumeUnit>) -> T,
    count: impl Fn(Authored<CountUnit>) -> T,
) -> Option<T> {
    let parsed_mass = text.parse().ok().map(mass);
    parsed_mass.or_else(|| text.parse().ok().map(volume)).or_else(|| text.parse().ok().map(count))
}

/// A number of pieces: a whole number, or a quantity in `pieces` where it isn't whole.
pub(super) fn pieces(value: &Value<'_>) -> Option<Authored<CountUnit>> {
    if value.is_string() {
        return above_zero(value);
    }
    let whole = value.integer()?;
    let Some(number) = Number::decimal(whole, 0) else {
        let message = format!("`{}` has more than 18 digits", value.key);
        return value.refuse(Finding::error("bad-number", message).at(value.span, "too long"));
    };
    positive(value, &number).then_some(Authored::new(number, CountUnit))
}

/// A share below the whole: what may be lost at a stage.
pub(super) fn below_whole(value: &Value<'_>) -> Option<Authored<ShareUnit>> {
    let share = quantity::<ShareUnit>(value)?;
    if share.number.exact() < 100.into() {
        return Some(share);
    }
    let message = format!("`{}` must be below 100 %, or nothing is left", value.key);
    let finding = Finding::error("out-of-range", message).at(value.span, "the whole or more");
    value.refuse(finding.hint("give the part that is lost, not the part that is left"))
}

/// A share above nothing and at most the whole.
pub(super) fn part_of_whole(value: &Value<'_>) -> Option<Authored<ShareUnit>> {
    let share = above_zero::<ShareUnit>(value)?;
    if share.number.exact() <= 100.into() {
        return Some(share);
    }
    let message = format!("`{}` can't be above 100 %", value.key);
    let finding = Finding::error("out-of-range", message).at(value.span, "more than the whole");
    value.refuse(finding.hint(match value.key {
        "share" => "at 100 % the mould is full",
        _ => "it is a part of what is purchased or made",
    }))
}

/// An amount of money.
pub(super) fn money(value: &Value<'_>) -> Option<MoneyAmount> {
    let text = value.string()?;
    text.parse().ok().or_else(|| explain(value, text, &[MONEY]))
}

/// Money by the hour.
pub(super) fn rate(value: &Value<'_>) -> Option<HourlyRate> {
    let text = value.string()?;
    text.parse().ok().or_else(|| explain(value, text, &[RATE]))
}

/// A number without a unit, above 0.
pub(super) fn plain_number(value: &Value<'_>) -> Option<Number> {
    let text = value.string()?;
    let Ok(number) = text.parse::<Number>() else {
        let message = format!("`{text}` is not a number");
        let finding = Finding::error("bad-number", message).at(value.span, "here");
        let advice = number_advice(text).unwrap_or_else(|| "write it like `1.17`".to_owned());
        return value.refuse(finding.hint(advice));
    };
    positive(value, &number).then_some(number)
}

/// A quantity's text in its two parts, with their places in it.
struct Parts<'a> {
    number: &'a str,
    unit: &'a str,
    number_at: std::ops::Range<usize>,
    unit_at: std::ops::Range<usize>,
}

fn parts(text: &str) -> Parts<'_> {
    let (number, unit) = split(text);
    let start = text.len() - text.trim_start().len();
    let end = text.trim_end().len().max(start);
    let unit_at = end - unit.len()..end;
    Parts { number, unit, number_at: start..start + number.len(), unit_at }
}

/// Notes why a text is no quantity of any of the wanted dimensions, pointing into it.
fn explain<T>(value: &Value<'_>, text: &str, wanted: &[Dimension]) -> Option<T> {
    let parts = parts(text);
    let number = parts.number.parse::<Number>();
    let finding = if text.trim().is_empty() {
        says_nothing(value).hint(examples(wanted))
    } else if let Err(NumberError::Malformed(_)) = number {
        bad_number(value, text, &parts, wanted)
    } else if splits_number(parts.unit) {
        bad_number(value, text, &parts, wanted)
    } else if let Err(error) = number {
        let span = inside(value, text, &parts.number_at);
        Finding::error("bad-number", error.to_string()).at(span, "here")
    } else if parts.unit.is_empty() {
        missing_unit(value, text, wanted)
    } else if wanted.iter().any(|one| (one.knows)(parts.unit)) {
        below_zero(value, text, &parts)
    } else {
        foreign_unit(value, text, &parts, wanted)
    };
    value.refuse(finding)
}

fn foreign_unit(value: &Value<'_>, text: &str, parts: &Parts<'_>, wanted: &[Dimension]) -> Finding {
    let meant = meant_unit(parts.unit, wanted);
    match measured_by(parts.unit) {
        // Any three capitals may be a currency, so `2 CUP` is rather a cup.
        Some(found) if meant.is_none() || found != MONEY.name => {
            wrong_dimension(value, text, parts, found, wanted)
        }
        _ => unknown_unit(value, text, parts, meant, wanted),
    }
}

/// Whether what looks like a unit goes on with the number: `,5 kg`, `½ cup`, `–300 g`.
fn splits_number(unit: &str) -> bool {
    let mut letters = unit.chars();
    let first = letters.next();
    let goes_on = matches!(first, Some(',' | '–' | '~' | '+' | '½' | '¼' | '¾' | '⅓' | '⅔'));
    goes_on || letters.any(|letter| letter.is_ascii_digit()) && measured_by(unit).is_none()
}

fn bad_number(value: &Value<'_>, text: &str, parts: &Parts<'_>, wanted: &[Dimension]) -> Finding {
    let span = if parts.number.is_empty() || splits_number(parts.unit) {
        value.span
    } else {
        inside(value, text, &parts.number_at)
    };
    let example = wanted.first().map_or("250 g", |one| one.example);
    let advice = match number_advice(text) {
        Some(advice) => advice,
        None if value.key == "amount" => {
            format!("write it like `{example}`, or `to taste` where no figure is meant")
        }
        None => format!("write it like `{example}`"),
    };
    Finding::error("bad-number", format!("`{text}` doesn't start with one number"))
        .at(span, "here")
        .hint(advice)
}

fn missing_unit(value: &Value<'_>, text: &str, wanted: &[Dimension]) -> Finding {
    let message = format!("`{text}` has no unit; `{}` takes {}", value.key, names(wanted));
    Finding::error("missing-unit", message).at(value.span, "a number alone").hint(examples(wanted))
}

fn below_zero(value: &Value<'_>, text: &str, parts: &Parts<'_>) -> Finding {
    let span = inside(value, text, &parts.number_at);
    Finding::error("below-zero", format!("`{}` can't be below 0", value.key))
        .at(span, "below 0")
        .hint("take the `-` out")
}

fn wrong_dimension(
    value: &Value<'_>,
    text: &str,
    parts: &Parts<'_>,
    found: &str,
    wanted: &[Dimension],
) -> Finding {
    let message = format!("`{text}` is {found}; `{}` takes {}", value.key, names(wanted));
    let hint = if value.key == "amount" && found == LengthUnit::DIMENSION {
        format!("give a shape by its sizes, as in `amount = {SHAPE}`")
    } else {
        examples(wanted)
    };
    Finding::error("wrong-dimension", message)
        .at(inside(value, text, &parts.unit_at), found)
        .hint(hint)
}

fn unknown_unit(
    value: &Value<'_>,
    text: &str,
    parts: &Parts<'_>,
    meant: Option<String>,
    wanted: &[Dimension],
) -> Finding {
    let message =
        format!("`{}` is not a unit; `{}` takes {}", parts.unit, value.key, names(wanted));
    let hint = match meant {
        Some(unit) => format!("did you mean `{} {unit}`?", parts.number),
        None => examples(wanted),
    };
    Finding::error("unknown-unit", message)
        .at(inside(value, text, &parts.unit_at), "not known")
        .hint(hint)
}

fn names(wanted: &[Dimension]) -> String {
    join(&wanted.iter().map(|one| one.name).collect::<Vec<_>>(), "or")
}

fn examples(wanted: &[Dimension]) -> String {
    let quoted: Vec<String> = wanted.iter().map(|one| format!("`{}`", one.example)).collect();
    format!("write it like {}", join(&quoted, "or"))
}

/// The place of a part of a text; all of it where the file writes the text with escapes.
fn inside(value: &Value<'_>, text: &str, part: &std::ops::Range<usize>) -> Span {
    let Span { file, start, end } = value.span;
    let source = value.page.text.get(start..end).unwrap_or_default();
    match source.find(text) {
        Some(at) => Span { file, start: start + at + part.start, end: start + at + part.end },
        None => value.span,
    }
}
