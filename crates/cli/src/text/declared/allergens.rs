//! Allergens: what is in it, why, and what nobody has stated.

use chablon_model::AllergenState;
use chablon_sdk::declare::Declaration;
use chablon_sdk::declare::allergens::{AllergenDeclaration, Cause};
use owo_colors::OwoColorize;

use super::INDENT;
use crate::text::listing::{Listing, Side, paragraph};
use crate::text::names::Names;
use crate::text::tongue::Tongue;

/// Every group and kind that isn't free, and in one line those that are.
pub(super) fn allergens(declaration: &Declaration, names: &Names<'_>, width: usize) -> String {
    let mut listing = Listing::new(INDENT, [Side::Left, Side::Left]);
    let present = |one: &&AllergenDeclaration| one.state != AllergenState::Free;
    for declared in declaration.allergens.iter().filter(present) {
        listing.row([names.allergen(&declared.allergen), state(declared.state, names.tongue)]);
        let causes: Vec<String> = declared.because.iter().map(|one| cause(one, names)).collect();
        listing.remark(causes.join("; "));
    }
    let mut text = listing.render(width);
    let free = declaration.allergens.iter().filter(|one| one.state == AllergenState::Free);
    let free: Vec<&str> = free.map(|one| names.allergen(&one.allergen)).collect();
    if !free.is_empty() {
        let label = names.tongue.pick("free of", "exempt de");
        let free = format!("{label}{} {}", names.tongue.colon(), free.join(", "));
        text += &paragraph(&free, INDENT, width);
    }
    for blocker in &declaration.blockers {
        text += &paragraph(&format!("! {blocker}"), INDENT, width);
    }
    for contradiction in &declaration.contradictions {
        text += &paragraph(&format!("! {contradiction}"), INDENT, width);
    }
    text
}

/// A line for each state but free: groups with those of their kinds that have the same state, and
/// kinds whose group has a worse one.
pub(in crate::text) fn in_short(
    of: Option<&str>,
    declared: &[AllergenDeclaration],
    names: &Names<'_>,
    width: usize,
) -> String {
    let tongue = names.tongue;
    let title = tongue.pick("Allergens", "Allergènes");
    let title = of.map_or_else(|| title.to_owned(), |of| format!("{title}{} {of}", tongue.colon()));
    let mut text = format!("{}\n", title.bold());
    for of in [AllergenState::Contains, AllergenState::MayContain, AllergenState::Unknown] {
        let groups = declared.iter().filter(|one| one.allergen.group() == one.allergen);
        let all = groups.filter_map(|group| of_group(group, of, declared, names));
        let all: Vec<String> = all.collect();
        if !all.is_empty() {
            let mark = if of == AllergenState::Unknown { "! " } else { "" };
            let said = format!("{mark}{}{}", state(of, tongue), tongue.colon());
            text += &paragraph(&format!("{said} {}", all.join(", ")), INDENT, width);
        }
    }
    if declared.iter().all(|one| one.state == AllergenState::Free) {
        let free = ("free of all that are declared", "exempt de tous ceux qui se déclarent");
        text += &paragraph(tongue.pick(free.0, free.1), INDENT, width);
    }
    text
}

/// What of a group has a state, if anything has.
fn of_group(
    group: &AllergenDeclaration,
    of: AllergenState,
    declared: &[AllergenDeclaration],
    names: &Names<'_>,
) -> Option<String> {
    let name = names.allergen(&group.allergen);
    let its_kind = |one: &&AllergenDeclaration| {
        one.state == of && one.allergen != group.allergen && one.allergen.group() == group.allergen
    };
    let kinds: Vec<&str> =
        declared.iter().filter(its_kind).map(|one| names.allergen(&one.allergen)).collect();
    let unknown = of == AllergenState::Unknown;
    match (group.state == of, kinds.as_slice()) {
        (true, []) => Some(name.to_owned()),
        // Of a group that is unknown, every kind is.
        (true, _) if unknown => Some(name.to_owned()),
        (true, kinds) => Some(format!("{name} ({})", kinds.join(", "))),
        (false, []) => None,
        (false, _) if unknown => {
            let others = names.tongue.pick("other kinds of", "autres sortes de");
            Some(format!("{others} {name}"))
        }
        (false, kinds) => Some(kinds.join(", ")),
    }
}

pub(super) fn state(state: AllergenState, tongue: Tongue) -> &'static str {
    match state {
        AllergenState::Contains => tongue.pick("contains", "contient"),
        AllergenState::MayContain => tongue.pick("may contain", "peut contenir"),
        AllergenState::Unknown => tongue.pick("not known", "inconnu"),
        AllergenState::Free => tongue.pick("free", "exempt"),
    }
}

/// The ingredient and the way to it from the recipe down.
fn cause(cause: &Cause, names: &Names<'_>) -> String {
    let way: Vec<&str> = cause.path.iter().map(|recipe| names.recipe(recipe)).collect();
    let ingredient = names.ingredient(&cause.ingredient);
    if way.is_empty() {
        return ingredient.to_owned();
    }
    let within = names.tongue.pick("in", "dans");
    let way: Vec<&str> = way.into_iter().rev().collect();
    format!("{ingredient} {within} {}", way.join(&format!(" {within} ")))
}
