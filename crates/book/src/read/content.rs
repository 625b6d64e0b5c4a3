//! What 100 g can hold.

use chablon_model::{Content, Detail, Details, Nutrient};
use chablon_quantity::{Exact, Grams};

use super::fields::Fields;
use crate::{Finding, Severity};

/// The nutrients that add up to the whole: the others are parts of these.
const WHOLE: [Nutrient; 7] = [
    Nutrient::Water,
    Nutrient::Fat,
    Nutrient::Carbohydrate,
    Nutrient::Fibre,
    Nutrient::Protein,
    Nutrient::Salt,
    Nutrient::Alcohol,
];

/// Which nutrients are parts of which.
const PARTS: [(Nutrient, &[Nutrient]); 2] = [
    (Nutrient::Fat, &[Nutrient::Saturates]),
    (Nutrient::Carbohydrate, &[Nutrient::Sugars, Nutrient::Polyols]),
];

/// How far over 100 g a sum of analysed and rounded figures is let pass with a warning.
///
/// FAO/INFOODS Guidelines for Checking Food Composition Data (2012) accept sums of proximates from
/// 95 g to 105 g; the two figures are from memory.
const SUM_ALLOWANCE: i64 = 5;

/// Checks that content fits into 100 g, and its parts into what they are parts of.
pub(super) fn check(content: &Content, fields: &Fields<'_>) {
    let sum = sum_of(content, &WHOLE);
    if sum > 100.into() {
        fields.note(too_much(&sum, fields));
    }
    for (whole, parts) in PARTS {
        let known = content.0.get(&whole).map(|mass| mass.quantity().grams());
        if known.is_some_and(|known| sum_of(content, parts) > known) {
            fields.note(part_above_whole(content, whole, parts, fields));
        }
    }
}

/// Checks that what is stated more closely fits into what it is a part of, and what is of cocoa
/// into each other.
pub(super) fn check_details(content: &Content, details: &Details, fields: &Fields<'_>) {
    for whole in [Nutrient::Fat, Nutrient::Sugars, Nutrient::Polyols] {
        let parts: Vec<&Detail> =
            details.0.keys().filter(|one| one.part_of() == Some(whole)).collect();
        let sum: Exact = parts.iter().map(|one| grams_of(details, **one)).sum();
        let known = content.0.get(&whole).map(|mass| mass.quantity().grams());
        match known {
            _ if parts.is_empty() => {}
            None => fields.note(part_of_unstated(whole, &parts, fields)),
            Some(known) if sum > known => fields.note(details_above_whole(whole, &parts, fields)),
            Some(_) => {}
        }
    }
    let cocoa = [Detail::CocoaButter, Detail::DryCocoa];
    if cocoa.iter().all(|one| details.0.contains_key(one))
        && grams_of(details, Detail::CocoaButter) > grams_of(details, Detail::DryCocoa)
    {
        fields.note(
            Finding::error("content-part", "there is more cocoa butter than dry cocoa in all")
                .at(fields.span_of(Detail::CocoaButter.as_str()), "part of it")
                .at(fields.span_of(Detail::DryCocoa.as_str()), "all of it")
                .hint("dry cocoa counts all that comes from the bean, its butter included"),
        );
    }
}

fn grams_of(details: &Details, detail: Detail) -> Exact {
    details.0.get(&detail).map_or_else(|| Exact::from(0), |mass| mass.quantity().grams())
}

fn names(parts: &[&Detail]) -> String {
    let names: Vec<String> = parts.iter().map(|part| format!("`{}`", part.as_str())).collect();
    names.join(", ")
}

fn part_of_unstated(whole: Nutrient, parts: &[&Detail], fields: &Fields<'_>) -> Finding {
    let message = format!("{} need `{}`, which isn't stated", names(parts), whole.as_str());
    let finding = Finding::error("content-part", message);
    parts
        .iter()
        .fold(finding, |finding, part| finding.at(fields.span_of(part.as_str()), "part of it"))
        .hint(format!("add `{}`: all of it, of which this is a part", whole.as_str()))
}

fn details_above_whole(whole: Nutrient, parts: &[&Detail], fields: &Fields<'_>) -> Finding {
    let message =
        format!("{} come to more than the {} that they are part of", names(parts), whole.as_str());
    let finding = Finding::error("content-part", message);
    parts
        .iter()
        .fold(finding, |finding, part| finding.at(fields.span_of(part.as_str()), "part of it"))
        .at(fields.span_of(whole.as_str()), "all of it")
}

fn sum_of(content: &Content, nutrients: &[Nutrient]) -> Exact {
    let grams = |nutrient| content.0.get(nutrient).map(|mass| mass.quantity().grams());
    nutrients.iter().filter_map(grams).fold(Exact::from(0), |sum, mass| sum + mass)
}

fn too_much(sum: &Exact, fields: &Fields<'_>) -> Finding {
    let beyond_rounding = *sum > Exact::from(100 + SUM_ALLOWANCE);
    let severity = if beyond_rounding { Severity::Error } else { Severity::Warning };
    let message = format!("the content comes to {} g in 100 g", sum.round(2));
    Finding::new(severity, "content-sum", message)
        .at(fields.span(), "more than there is")
        .hint("carbohydrate is without fibre; saturates, sugars and polyols aren't counted again")
}

fn part_above_whole(
    content: &Content,
    whole: Nutrient,
    parts: &[Nutrient],
    fields: &Fields<'_>,
) -> Finding {
    let stated: Vec<&str> = (parts.iter())
        .filter(|part| content.0.contains_key(part))
        .map(|part| part.as_str())
        .collect();
    let (names, whole_name) = (stated.join(" and "), whole.as_str());
    let message = format!("{names} come to more than the {whole_name} that they are part of");
    let mut finding = Finding::error("content-part", message);
    for part in &stated {
        finding = finding.at(fields.span_of(part), "part of it");
    }
    finding.at(fields.span_of(whole.as_str()), "all of it")
}
