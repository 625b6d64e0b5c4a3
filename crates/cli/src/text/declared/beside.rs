//! What is declared elsewhere beside what is computed.

use chablon_model::Nutrient;
use chablon_sdk::declare::Declaration;
use chablon_sdk::declare::content::{Difference, Verdict};

use super::content::nutrient_name;
use super::{INDENT, section};
use crate::text::listing::{Listing, Side};
use crate::text::names::Names;
use crate::text::tongue::Tongue;

/// A section for the recipe and one for each compound ingredient; nothing where nothing is declared.
pub(super) fn declared(declaration: &Declaration, names: &Names<'_>, width: usize) -> String {
    let title = names.tongue.pick("Declared, beside computed", "Déclaré et calculé");
    let mut text = String::new();
    if !declaration.declared.is_empty() {
        text += &section(title);
        text += &listing(&declaration.declared, names).render(width);
    }
    for compound in &declaration.compounds {
        let name = names.ingredient(&compound.ingredient);
        text += &section(&format!("{title}{} {name}", names.tongue.colon()));
        text += &listing(&compound.differences, names).render(width);
    }
    text
}

fn listing(differences: &[Difference], names: &Names<'_>) -> Listing {
    let tongue = names.tongue;
    let mut listing = Listing::new(INDENT, [Side::Left, Side::Right, Side::Right, Side::Left]);
    let (declared, computed) =
        (tongue.pick("declared", "déclaré"), tongue.pick("computed", "calculé"));
    listing.head(["", declared, computed, ""]);
    for one in differences {
        let figure = |exact| format!("{} {}", tongue.number(exact, 3), one.unit);
        let (declared, computed) = (figure(&one.declared), figure(&one.computed));
        listing.row([name(one, tongue).to_owned(), declared, computed, verdict(one, tongue)]);
        listing.remark_if_any(missing(one, names));
    }
    listing
}

fn name(one: &Difference, tongue: Tongue) -> &'static str {
    let nutrient = Nutrient::parse(one.key);
    nutrient.map_or_else(|| tongue.pick("energy", "énergie"), |one| nutrient_name(one, tongue))
}

fn verdict(one: &Difference, tongue: Tongue) -> String {
    let range = || {
        let (low, high) = one.tolerance.as_ref()?;
        let to = tongue.pick("to", "à");
        Some(format!(" ({} {to} {} g)", tongue.number(low, 3), tongue.number(high, 3)))
    };
    let (words, range) = match one.verdict {
        Verdict::Agrees => (tongue.pick("agrees", "concorde"), None),
        Verdict::Within => (tongue.pick("within tolerance", "dans la tolérance"), range()),
        Verdict::Outside => (tongue.pick("! outside tolerance", "! hors tolérance"), range()),
        Verdict::Differs => (
            tongue.pick(
                "! differs; no tolerance is published",
                "! diffère ; aucune tolérance publiée",
            ),
            None,
        ),
        Verdict::Open => (tongue.pick("can't be told", "indéterminable"), None),
    };
    words.to_owned() + &range.unwrap_or_default()
}

fn missing(one: &Difference, names: &Names<'_>) -> Option<String> {
    if one.missing.is_empty() {
        return None;
    }
    let ingredients: Vec<&str> = one.missing.iter().map(|id| names.ingredient(id)).collect();
    let label = names.tongue.pick("not stated by", "non déclaré par");
    Some(format!("! {label} {}", ingredients.join(", ")))
}
