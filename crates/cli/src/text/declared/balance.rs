//! The balance of a formula.

use std::collections::BTreeSet;

use chablon_model::IngredientId;
use chablon_quantity::Exact;
use chablon_sdk::declare::balance::{Balance, WaterActivityEstimate};
use chablon_sdk::declared::Balanced;
use owo_colors::OwoColorize;

use super::{INDENT, section};
use crate::text::closing;
use crate::text::listing::{Listing, Side, paragraph};
use crate::text::names::Names;
use crate::text::tongue::Tongue;

/// A balance as a sheet.
pub(crate) fn balance_sheet(balanced: &Balanced, names: &Names<'_>, width: usize) -> String {
    let (balance, tongue) = (&balanced.balance, names.tongue);
    let mut text = format!("{}\n", names.recipe(&balanced.recipe).bold());
    text += &closing::cautions(&balanced.cautions, tongue, width);
    text += &closing::deviations(&balanced.deviations, tongue, width);
    text += &section(tongue.pick("In 100 g", "Pour 100 g"));
    text += &parts(balance, names, width);
    text += &section(tongue.pick("Shares and ratios", "Parts et rapports"));
    text += &ratios(balance, tongue, width);
    text += &section(tongue.pick(
        "Sweetness, sucrose being 1 for each gram",
        "Pouvoir sucrant, saccharose 1 par gramme",
    ));
    text += &sweetness(balance, names, width);
    text += &section(tongue.pick("Water activity, estimated", "Activité de l'eau, estimée"));
    text += &water_activity(balance, names, width);
    text += "\n";
    text.extend(balance.cautions.iter().map(|one| paragraph(names.tongue.caution(one), 0, width)));
    text += &closing::basis(&balanced.basis, tongue);
    text
}

fn parts(balance: &Balance, names: &Names<'_>, width: usize) -> String {
    let tongue = names.tongue;
    let mut listing = Listing::new(INDENT, [Side::Left, Side::Right]);
    for part in &balance.parts {
        let number = tongue.grams(&part.amount.grams);
        let at_least = tongue.pick("at least", "au moins");
        let shown = if part.amount.is_complete() { number } else { format!("{at_least} {number}") };
        listing.row([tongue.pick(part.name, french(part.key)), shown.as_str()]);
        listing.remark_if_any(unknown(&part.amount.missing, names));
    }
    listing.render(width)
}

fn ratios(balance: &Balance, tongue: Tongue, width: usize) -> String {
    let mut listing = Listing::new(INDENT, [Side::Left, Side::Right]);
    for ratio in &balance.ratios {
        let not_known = || tongue.pick("not known", "inconnu").to_owned();
        let value = ratio.value.as_ref().map(|value| tongue.number(value, 4));
        let name = tongue.pick(ratio.name, french(ratio.key));
        listing.row([name.to_owned(), value.unwrap_or_else(not_known)]);
    }
    listing.render(width)
}

/// What a part or a ratio is called in French.
fn french(key: &str) -> &'static str {
    match key {
        "water" => "eau",
        "fat" => "matières grasses",
        "sugars" => "sucres",
        "alcohol" => "alcool",
        "other_solids" => "autre matière sèche",
        "milk_fat" => "dont matière grasse laitière",
        "cocoa_butter" => "dont beurre de cacao",
        "dry_cocoa" => "matière sèche de cacao",
        "solids" => "matière sèche du total",
        "fat_in_solids" => "matières grasses de la matière sèche",
        "sugars_in_solids" => "sucres de la matière sèche",
        "sugars_in_syrup" => "sucres de sucres et eau",
        "fat_to_water" => "matières grasses sur eau",
        "alcohol_in_liquid" => "alcool d’alcool et eau",
        _ => "",
    }
}

fn sweetness(balance: &Balance, names: &Names<'_>, width: usize) -> String {
    let sweetness = &balance.sweetness;
    let mut text =
        paragraph(&range(&sweetness.lowest, &sweetness.highest, 1, names.tongue), INDENT, width);
    text.extend(sugars_unknown(&sweetness.unknown_in, names, width));
    text.extend(unknown(&sweetness.missing, names).map(|one| paragraph(&one, INDENT, width)));
    text += &not_counted(&sweetness.not_counted, names.tongue, width);
    text += &paragraph(sweetness.source, INDENT, width);
    text
}

fn water_activity(balance: &Balance, names: &Names<'_>, width: usize) -> String {
    let estimate = match &balance.water_activity {
        WaterActivityEstimate::Not(why) => {
            let label = names.tongue.pick("Not estimated", "Non estimée");
            return paragraph(&format!("{label}: {why}"), INDENT, width);
        }
        WaterActivityEstimate::Estimated(estimate) => estimate,
    };
    let figure = range(&estimate.lowest, &estimate.highest, 3, names.tongue);
    let off = names.tongue.number(&estimate.plus_minus, 3);
    let mut text = paragraph(&format!("{figure}, ± {off}"), INDENT, width);
    text.extend(sugars_unknown(&estimate.unknown_in, names, width));
    text += &not_counted(&estimate.not_counted, names.tongue, width);
    text += &paragraph(estimate.method, INDENT, width);
    text
}

fn range(lowest: &Exact, highest: &Exact, decimals: u32, tongue: Tongue) -> String {
    let (low, high) = (tongue.number(lowest, decimals), tongue.number(highest, decimals));
    if low == high { low } else { format!("{low} {} {high}", tongue.pick("to", "à")) }
}

fn unknown(ingredients: &BTreeSet<IngredientId>, names: &Names<'_>) -> Option<String> {
    let listed: Vec<&str> = ingredients.iter().map(|id| names.ingredient(id)).collect();
    let label = names.tongue.pick("not known of", "inconnu pour");
    (!listed.is_empty()).then(|| format!("! {label} {}", listed.join(", ")))
}

fn sugars_unknown(
    ingredients: &BTreeSet<IngredientId>,
    names: &Names<'_>,
    width: usize,
) -> Option<String> {
    let listed: Vec<&str> = ingredients.iter().map(|id| names.ingredient(id)).collect();
    let label = names.tongue.pick(
        "a range, since it isn't stated which sugars are in",
        "une plage, la nature des sucres n'étant pas déclarée pour",
    );
    let sentence = format!("{label} {}", listed.join(", "));
    (!listed.is_empty()).then(|| paragraph(&sentence, INDENT, width))
}

fn not_counted(what: &[&'static str], tongue: Tongue, width: usize) -> String {
    if what.is_empty() {
        return String::new();
    }
    let label = tongue.pick("not counted", "non compté");
    paragraph(&format!("{label}: {}", what.join(", ")), INDENT, width)
}
