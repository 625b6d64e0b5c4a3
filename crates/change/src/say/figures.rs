//! Allergens, content, labels, cost.

use std::cmp::Reverse;

use chablon_declare::allergens::{Cause, StateChange};
use chablon_declare::content::Amount;
use chablon_model::{Allergen, AllergenState, IngredientId, LabelRegime, RecipeId};

use super::words::{either, instead, list, plain, signed_percent, some};
use crate::{
    AllergenChange, ContentFigure, Cost, CostUnit, DeclaredFigure, LabelFigure, NotTold, Pair,
    StatedContent, Told, UnitFigure,
};

/// How many of a long list are named.
const NAMED: usize = 4;

pub(super) fn allergens(change: &AllergenChange) -> String {
    let AllergenChange { allergens, state, because } = change;
    let (causes, until_now) = if state.after > state.before {
        (&because.after, "")
    } else {
        (&because.before, " until now")
    };
    let causes: Vec<String> = causes.iter().map(cause).collect();
    let state = instead(state.map(AllergenState::as_str));
    let causes = some(&causes, NAMED);
    format!("{}: {state}, because of {causes}{until_now}", list(allergens, "none"))
}

/// `almond-ground` in honey-bavarois -> base
fn cause(cause: &Cause) -> String {
    if cause.path.is_empty() {
        return format!("`{}`", cause.ingredient);
    }
    let path: Vec<&str> = cause.path.iter().map(RecipeId::as_str).collect();
    format!("`{}` in {}", cause.ingredient, path.join(" -> "))
}

/// The worst first, those of the same states together.
pub(super) fn statement(changes: &[StateChange]) -> String {
    let mut sorted: Vec<&StateChange> = changes.iter().collect();
    sorted.sort_by_key(|one| Reverse((one.after > one.before, one.after, one.before)));
    let alike = |one: &&StateChange, other: &&StateChange| {
        (one.before, one.after) == (other.before, other.after)
    };
    let said = sorted.chunk_by(alike).map(|group| {
        let codes: Vec<&str> = group.iter().map(|one| one.allergen.code()).collect();
        let states = Pair::new(group[0].before.as_str(), group[0].after.as_str());
        format!("{}: {}", list(&codes, "none"), instead(states))
    });
    format!("states {}", said.collect::<Vec<_>>().join("; "))
}

pub(super) fn understated(
    constituent: &IngredientId,
    allergen: &Allergen,
    says: Pair<Option<AllergenState>>,
) -> String {
    match says.after {
        Some(says) => format!(
            "states {} of {allergen}, but is made of `{constituent}`, which contains it",
            says.as_str()
        ),
        None => format!("no longer states less of {allergen} than `{constituent}` contains"),
    }
}

pub(super) fn not_told(not: &NotTold) -> String {
    let what = match not.what {
        Told::Anything => "what is in it, weighs and costs",
        Told::Content => "what 100 g hold",
    };
    match (&not.why.before, &not.why.after) {
        (None, Some(why)) => format!("can't tell any more {what}: {why}"),
        (Some(why), None) => format!("couldn't tell before {what}: {why}"),
        (_, Some(why)) => format!("can't tell {what}, and couldn't before: {why}"),
        (None, None) => String::new(),
    }
}

pub(super) fn stated(content: &[StatedContent]) -> String {
    let said = |one: &StatedContent| format!("{} {}", one.of, either(&one.mass, "unstated"));
    let said: Vec<String> = content.iter().map(said).collect();
    format!("states in 100 g: {}", said.join(", "))
}

pub(super) fn declared(figures: &[DeclaredFigure]) -> String {
    let said = |one: &DeclaredFigure| format!("{} {}", one.of, either(&one.figure, "undeclared"));
    let said: Vec<String> = figures.iter().map(said).collect();
    format!("declared in 100 g: {}", said.join(", "))
}

pub(super) fn content(content: &[ContentFigure]) -> String {
    let amount = |one: &Amount| {
        let least = if one.is_complete() { "" } else { "at least " };
        format!("{least}{} g", plain(&one.grams, 2))
    };
    let said = |one: &ContentFigure| {
        format!("{} {}", one.nutrient.as_str(), instead(one.amount.as_ref().map(amount)))
    };
    let said: Vec<String> = content.iter().map(said).collect();
    format!("100 g hold {}", said.join(", "))
}

pub(super) fn label(regime: LabelRegime, figures: &[LabelFigure]) -> String {
    let said = |one: &LabelFigure| {
        let shown = Pair::new(
            (&one.shown.before, &one.missing.before),
            (&one.shown.after, &one.missing.after),
        );
        let shown = shown.map(|(shown, missing)| {
            if missing.is_empty() { shown.clone() } else { format!("{shown} (incomplete)") }
        });
        format!("{} {}", one.name, instead(shown))
    };
    let said: Vec<String> = figures.iter().map(said).collect();
    format!("label ({}): {}", regime.as_str(), said.join(", "))
}

pub(super) fn cost(cost: &Cost) -> String {
    let unit = |one: &UnitFigure| {
        let least = if one.complete { "" } else { "at least " };
        let of = match one.of {
            CostUnit::Piece => "a piece",
            CostUnit::Kilogram => "a kilogram",
        };
        format!("{least}{} {} {of}", one.amount.round(4), one.currency)
    };
    let rise = cost.rise().map_or_else(String::new, |rise| format!(", {}", signed_percent(&rise)));
    format!("food at `{}` costs {}{rise}", cost.site, instead(cost.unit.as_ref().map(unit)))
}
