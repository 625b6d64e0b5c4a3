//! `ingredients/*.toml`: what is bought.

use std::collections::BTreeMap;

use chablon_model::{
    Allergen, AllergenState, Constituent, Content, Detail, Details, DocumentKind, Ingredient,
    Nutrient,
};
use chablon_quantity::Exact;

use super::content;
use super::fields::Fields;
use super::notes::Named;
use super::quantity::{above_zero, part_of_whole, quantity};
use super::value::Value;
use super::wording::by_language;
use crate::suggest::nearest;
use crate::{Finding, Span};

/// All ingredients of a file.
pub(super) fn ingredients(fields: &mut Fields<'_>) -> Option<Vec<Ingredient>> {
    // The file itself is no document: what stands in it between two ingredients is nobody's.
    fields.notes().begin();
    fields.each("ingredient", |value| value.table("an ingredient", ingredient))
}

fn ingredient(fields: &mut Fields<'_>) -> Option<Ingredient> {
    let id = fields.document(DocumentKind::Ingredient, Named::Ingredient);
    let name = fields.required("name", by_language);
    let label_name = fields.optional("label_name", by_language);
    let density = fields.optional("density", above_zero);
    let piece_mass = fields.optional("piece_mass", above_zero);
    let edible_yield = fields.optional("edible_yield", part_of_whole);
    let allergens = fields.optional("allergens", allergens);
    let other_allergens = fields.optional("other_allergens", state);
    let content = fields
        .optional("content", |value| value.table("the content", |fields| Some(content(fields))));
    let made_of = made_of(fields);
    let note = fields.optional("note", Value::text);
    let (held, details) = content.unwrap_or_default();
    Some(Ingredient {
        id: id?,
        name: name?,
        label_name: label_name.unwrap_or_default(),
        density,
        piece_mass,
        edible_yield,
        allergens: allergens.unwrap_or_default(),
        other_allergens,
        content: held,
        details,
        made_of: made_of?,
        note,
    })
}

fn content(fields: &mut Fields<'_>) -> (Content, Details) {
    let (mut content, mut details) = (Content::default(), Details::default());
    for nutrient in Nutrient::ALL {
        if let Some(mass) = fields.optional(nutrient.as_str(), quantity) {
            content.0.insert(*nutrient, mass);
        }
    }
    for detail in Detail::ALL {
        if let Some(mass) = fields.optional(detail.as_str(), quantity) {
            details.0.insert(*detail, mass);
        }
    }
    content::check(&content, fields);
    content::check_details(&content, &details, fields);
    (content, details)
}

fn state(value: &Value<'_>) -> Option<AllergenState> {
    if let Some(kind) = value.first_key() {
        return unquoted_kind(value, kind);
    }
    value.one_of(AllergenState::ALL, AllergenState::as_str)
}

/// `gluten.wheat` without quotes is a table `gluten` to TOML.
fn unquoted_kind<T>(value: &Value<'_>, kind: &str) -> Option<T> {
    let message = format!("`{}` takes a state, not a table", value.key);
    value.refuse(
        Finding::error("wrong-type", message)
            .at(value.span, "a table")
            .hint(format!("write the code of a kind in quotes: `\"{}.{kind}\"`", value.key)),
    )
}

fn allergens(value: &Value<'_>) -> Option<BTreeMap<Allergen, AllergenState>> {
    let states = value.entries(allergen, state)?;
    for (kind, kind_state) in &states {
        let group = kind.group();
        let freed = states.get(&group) == Some(&AllergenState::Free);
        if freed && *kind_state != AllergenState::Free {
            value.page.notes.note(contradiction(value, &group, kind, *kind_state));
        }
    }
    Some(states)
}

fn allergen(value: &Value<'_>, code: &str, span: Span) -> Option<Allergen> {
    code.parse().ok().or_else(|| {
        let message = format!("`{code}` is not an allergen code");
        let hint = match nearest_code(code) {
            Some(known) => format!("did you mean `{known}`?"),
            None => {
                "groups are `gluten`, `egg`, `milk` and so on; a kind is `\"nuts.almond\"`, in \
                     quotes"
                    .to_owned()
            }
        };
        value.refuse(Finding::error("unknown-allergen", message).at(span, "not known").hint(hint))
    })
}

/// The code that was meant, by the name of a kind alone too: `almonds` for `nuts.almond`.
fn nearest_code(code: &str) -> Option<&'static str> {
    let codes = Allergen::codes().iter().copied();
    let kinds = codes.clone().filter_map(|known| Some((known.split_once('.')?.1, known)));
    let by_kind = || {
        let near = nearest(code, kinds.clone().map(|(kind, _)| kind))?;
        kinds.clone().find(|(kind, _)| *kind == near).map(|(_, known)| known)
    };
    nearest(code, codes).or_else(by_kind)
}

fn contradiction(
    value: &Value<'_>,
    group: &Allergen,
    kind: &Allergen,
    state: AllergenState,
) -> Finding {
    let place = |code: &Allergen| {
        value.page.notes.placed(&format!("{}.{code}", value.path)).unwrap_or(value.span)
    };
    let message = format!("`{group}` is stated `free`, but its kind `{kind}` `{}`", state.as_str());
    Finding::warning("allergen-contradiction", message)
        .at(place(group), "free of all its kinds")
        .at(place(kind), "but not of this one")
        .hint("the worse of the two counts; check the supplier's declaration and state one of them")
}

fn made_of(fields: &mut Fields<'_>) -> Option<Vec<Constituent>> {
    let constituents = fields.each("made_of", |value| value.table("a constituent", constituent));
    if let Some(constituents) = &constituents {
        check_shares(constituents, fields);
    }
    constituents
}

fn constituent(fields: &mut Fields<'_>) -> Option<Constituent> {
    let ingredient = fields.required("ingredient", |value| value.reference(Named::Ingredient));
    let amount = fields.optional("amount", part_of_whole);
    Some(Constituent { ingredient: ingredient?, amount })
}

fn check_shares(constituents: &[Constituent], fields: &Fields<'_>) {
    let shares: Vec<Exact> = (constituents.iter())
        .filter_map(|part| part.amount.as_ref().map(|share| share.number.exact()))
        .collect();
    let total = shares.iter().fold(Exact::from(0), |sum, share| sum + share);
    if total > 100.into() {
        let message = format!("the constituents add up to {} %", total.round(2));
        fields.note(
            Finding::error("made-of-sum", message)
                .at(fields.span_of("made_of"), "more than the whole")
                .hint("shares are of the whole ingredient, so they come to 100 % at most"),
        );
    }
    if shares.windows(2).any(|pair| pair[0] < pair[1]) {
        fields.note(
            Finding::warning("made-of-order", "the constituents aren't in descending order")
                .at(fields.span_of("made_of"), "a later one is the larger")
                .hint("a list of ingredients names the largest first"),
        );
    }
}
