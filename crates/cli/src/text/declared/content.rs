//! Content and label figures.

use chablon_model::Nutrient;
use chablon_sdk::declare::Declaration;
use chablon_sdk::declare::content::Amount;
use chablon_sdk::declare::label::{Label, LabelBasis, Row};

use super::INDENT;
use crate::text::listing::{Listing, Side, paragraph};
use crate::text::names::Names;
use crate::text::tongue::Tongue;

/// What 100 g and a piece hold.
pub(super) fn content(declaration: &Declaration, names: &Names<'_>, width: usize) -> String {
    let tongue = names.tongue;
    let piece = declaration.content_per_piece.as_ref();
    let mut listing = Listing::new(INDENT, [Side::Left, Side::Right, Side::Right]);
    if let Some(piece) = piece {
        let of =
            format!("{} {}", tongue.pick("a piece,", "la pièce,"), tongue.grams(&piece.of_grams));
        listing.head(["", "100 g", of.as_str()]);
    }
    for nutrient in Nutrient::ALL {
        let whole = declaration.content.amount(*nutrient);
        let each = piece.map(|piece| grams(piece.amount(*nutrient), tongue)).unwrap_or_default();
        listing.row([nutrient_name(*nutrient, tongue).to_owned(), grams(whole, tongue), each]);
        listing.remark_if_any(missing(whole, names));
    }
    listing.render(width)
}

/// A lower bound says that it is one.
fn grams(amount: &Amount, tongue: Tongue) -> String {
    let number = tongue.grams(&amount.grams);
    if amount.is_complete() {
        number
    } else {
        format!("{} {number}", tongue.pick("at least", "au moins"))
    }
}

fn missing(amount: &Amount, names: &Names<'_>) -> Option<String> {
    if amount.is_complete() {
        return None;
    }
    let ingredients: Vec<&str> = amount.missing.iter().map(|id| names.ingredient(id)).collect();
    let label = names.tongue.pick("not stated by", "non déclaré par");
    Some(format!("! {label} {}", ingredients.join(", ")))
}

pub(super) fn nutrient_name(nutrient: Nutrient, tongue: Tongue) -> &'static str {
    let (english, french) = match nutrient {
        Nutrient::Water => ("water", "eau"),
        Nutrient::Fat => ("fat", "matières grasses"),
        Nutrient::Saturates => ("of which saturates", "dont saturés"),
        Nutrient::Carbohydrate => ("carbohydrate", "glucides"),
        Nutrient::Sugars => ("of which sugars", "dont sucres"),
        Nutrient::Polyols => ("of which polyols", "dont polyols"),
        Nutrient::Fibre => ("fibre", "fibres"),
        Nutrient::Protein => ("protein", "protéines"),
        Nutrient::Salt => ("salt", "sel"),
        Nutrient::Alcohol => ("alcohol", "alcool"),
    };
    tongue.pick(english, french)
}

/// Under which rules, and of how much.
pub(super) fn label_title(label: &Label, tongue: Tongue) -> String {
    let of = match &label.basis {
        LabelBasis::Per100G => "100 g".to_owned(),
        LabelBasis::Serving(serving) => serving.to_string(),
    };
    let title = tongue.pick("Label figures", "Valeurs d'étiquetage");
    format!("{title}, {} ({of})", label.regime.as_str().to_uppercase())
}

/// The rounded figures beside the exact ones.
pub(super) fn label(label: &Label, names: &Names<'_>, width: usize) -> String {
    let tongue = names.tongue;
    let language = tongue.pick("en", "fr");
    let mut listing = Listing::new(INDENT, [Side::Left, Side::Right, Side::Right]);
    listing.head(["", tongue.pick("shown", "affiché"), tongue.pick("computed", "calculé")]);
    for row in &label.rows {
        let name = if row.of_which {
            format!("  {}", row.name(language))
        } else {
            row.name(language).to_owned()
        };
        let exact = format!("{} {}", tongue.number(&row.exact, 3), row.unit);
        listing.row([name, tongue.printed(row), exact]);
        listing.remark_if_any(row_missing(row, names));
    }
    let mut text = listing.render(width);
    if !label.not_known.is_empty() {
        let title = tongue.pick("Not known here", "Inconnu ici");
        text += &paragraph(&format!("{title}: {}", label.not_known.join(", ")), INDENT, width);
    }
    text.extend(label.notes.iter().map(|note| paragraph(note, INDENT, width)));
    text
}

fn row_missing(row: &Row, names: &Names<'_>) -> Option<String> {
    if row.missing.is_empty() {
        return None;
    }
    let ingredients: Vec<&str> = row.missing.iter().map(|id| names.ingredient(id)).collect();
    let label = names.tongue.pick("not stated by", "non déclaré par");
    Some(format!("! {label} {}", ingredients.join(", ")))
}
