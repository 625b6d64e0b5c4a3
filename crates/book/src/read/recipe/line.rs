//! What goes in.

use chablon_model::{Amount, Line, Scaling, StepId, Uses};
use chablon_quantity::ShareUnit;

use super::shape;
use crate::read::fields::Fields;
use crate::read::notes::Named;
use crate::read::quantity::{amount, quantity};
use crate::read::value::Value;
use crate::suggest::nearest;
use crate::{Finding, Span};

/// A step's id as written, and where.
pub(super) type KnownStep<'a> = (&'a str, Span);

/// All lines of a recipe.
pub(super) fn lines(fields: &mut Fields<'_>, steps: &[KnownStep<'_>]) -> Option<Vec<Line>> {
    let lines = fields.each("line", |value| value.table("a line", |line| self::line(line, steps)));
    if let Some(lines) = &lines {
        check_lines(lines, fields);
    }
    lines
}

fn line(fields: &mut Fields<'_>, steps: &[KnownStep<'_>]) -> Option<Line> {
    let uses = uses(fields);
    let amount = fields.required("amount", taken);
    let base = fields.flag("base");
    let scaling = fields.optional("scaling", |value| value.one_of(Scaling::ALL, Scaling::as_str));
    let tolerance = fields.optional("tolerance", quantity::<ShareUnit>);
    let step = fields.optional("step", |value| step_of(value, steps));
    if base && matches!(amount, Some(Amount::Share(_) | Amount::ToTaste)) {
        fields.note(base_without_mass(fields));
    }
    let scaling = scaling.unwrap_or(Scaling::Proportional);
    Some(Line { uses: uses?, amount: amount?, base, scaling, tolerance, step })
}

/// How much: a quantity, or a shape by its sizes.
fn taken(value: &Value<'_>) -> Option<Amount> {
    if value.is_table() {
        return shape::amount(value).map(Box::new).map(Amount::Shape);
    }
    amount(value)
}

fn uses(fields: &mut Fields<'_>) -> Option<Uses> {
    let ingredient = fields.optional("ingredient", |value| value.reference(Named::Ingredient));
    let component = fields.optional("component", |value| value.reference(Named::Recipe));
    match (fields.has("ingredient"), fields.has("component")) {
        (true, false) => ingredient.map(Uses::Ingredient),
        (false, true) => component.map(Uses::Component),
        (true, true) => {
            fields.note(
                Finding::error("two-uses", "a line takes an ingredient or a component, not both")
                    .at(fields.span_of("component"), "a component")
                    .at(fields.span_of("ingredient"), "and an ingredient")
                    .hint("make two lines of it"),
            );
            None
        }
        (false, false) => {
            fields.note(
                Finding::error("nothing-used", "the line doesn't say what it takes")
                    .at(fields.span(), "of what?")
                    .hint("add `ingredient = \"...\"`, or `component = \"...\"` for a recipe"),
            );
            None
        }
    }
}

/// The id of a step of this recipe.
pub(super) fn step_of(value: &Value<'_>, steps: &[KnownStep<'_>]) -> Option<StepId> {
    let id: StepId = value.id()?;
    if steps.iter().any(|(known, _)| *known == id.as_str()) {
        return Some(id);
    }
    let message = format!("the recipe has no step `{id}`");
    let hint = match nearest(id.as_str(), steps.iter().map(|(known, _)| *known)) {
        Some(known) => format!("did you mean `{known}`?"),
        None => format!("add a `[[step]]` with `id = \"{id}\"`, or take `{}` out", value.key),
    };
    value.refuse(Finding::error("unknown-step", message).at(value.span, "not known").hint(hint))
}

fn base_without_mass(fields: &Fields<'_>) -> Finding {
    Finding::error("base-share", "a base line needs an amount of its own")
        .at(fields.span_of("amount"), "weighed by others, or not at all")
        .at(fields.span_of("base"), "yet others are a share of it")
        .hint("give the base by mass, volume or count")
}

fn check_lines(lines: &[Line], fields: &mut Fields<'_>) {
    if lines.is_empty() {
        let finding = Finding::error("no-lines", "the recipe has no line, so nothing goes in")
            .at(fields.span(), "this recipe")
            .hint("add a `[[line]]` with an `ingredient` and an `amount`");
        fields.missing(&["line"], finding);
    }
    let shares = (lines.iter().enumerate())
        .filter(|(_, line)| matches!(line.amount, Amount::Share(_)))
        .map(|(index, _)| fields.span_of(&format!("line[{index}].amount")));
    if lines.iter().any(|line| line.base) {
        return;
    }
    let message = "a share needs a base, and no line is marked as one";
    let finding = Finding::error("share-without-base", message)
        .hint("add `base = true` to the lines that make the 100 %, such as the flour");
    let finding = shares.fold(finding, |finding, span| finding.at(span, "a share of what?"));
    if !finding.labels.is_empty() {
        fields.note(finding);
    }
}
