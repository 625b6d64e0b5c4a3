//! What a kitchen asks to make otherwise: a file of its own, outside of any book.

use chablon_model::{
    Day, Departure, DeviationId, DeviationLimits, IngredientId, LineRef, NewAmount, RecipeId,
    SiteId, Text, Uses,
};
use chablon_quantity::Number;
use toml::de::DeTable;

use super::fields::Fields;
use super::notes::Notes;
use super::quantity::{above_zero, amount, plain_number};
use super::recipe::control;
use super::role::Role;
use super::value::{Page, Value};
use super::wording::by_language;
use super::{not_text, syntax, whole};
use crate::{Files, Finding, Severity, sort_findings};

/// A deviation as a kitchen writes it down, before it is known which revision it departs from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AuthoredDeviation {
    /// Its name, unique in the group.
    pub id: DeviationId,
    /// The site that departs.
    pub site: SiteId,
    /// The recipe that it departs from.
    pub recipe: RecipeId,
    /// The first day on which it is to hold; at once where unstated.
    pub from: Option<Day>,
    /// The day on which it falls away, as that day begins at the site.
    pub until: Day,
    /// Why.
    pub reason: String,
    /// How far.
    pub limits: DeviationLimits,
    /// How. Never empty.
    pub departures: Vec<Departure>,
}

/// Reads the one file of a deviation.
///
/// Nothing where a finding is an error.
pub fn read_deviation(files: &Files) -> (Option<AuthoredDeviation>, Vec<Finding>) {
    let notes = Notes::default();
    let mut read = None;
    for file in files.ids() {
        let page = Page { file, text: files.text(file), notes: &notes };
        if let Some(span) = files.damage(file) {
            notes.note(not_text(span));
        }
        let (table, errors) = DeTable::parse_recoverable(page.text);
        if errors.is_empty() {
            read = whole(page, table.get_ref(), "a deviation", deviation);
        } else {
            syntax::note_broken(page, &Role::Outside, table.get_ref(), &errors);
        }
    }
    let (mut findings, _) = notes.into_parts();
    sort_findings(&mut findings, files);
    let refused = findings.iter().any(|finding| finding.severity == Severity::Error);
    (read.filter(|_| !refused), findings)
}

fn deviation(fields: &mut Fields<'_>) -> Option<AuthoredDeviation> {
    let id = fields.required("id", Value::id);
    let site = fields.required("site", Value::id);
    let recipe = fields.required("recipe", Value::id);
    let from = fields.optional("from", Value::day);
    let until = fields.required("until", Value::day);
    let reason = fields.required("reason", Value::text);
    let limits = fields.optional("limits", |value| {
        value.table("the limits", |fields| {
            let max_share = fields.optional("max_share", above_zero);
            let tolerance = fields.optional("tolerance", above_zero);
            Some(DeviationLimits { max_share, tolerance })
        })
    });
    let lines = fields.each("line", |value| value.table("a line", line));
    let steps = fields.each("step", |value| value.table("a step", step));
    let departures: Vec<Departure> =
        lines?.into_iter().chain(steps?.into_iter().flatten()).collect();
    if departures.is_empty() {
        fields.missing(&["line", "step"], nothing(fields));
    }
    if let (Some(from), Some(until)) = (from, until)
        && until <= from
    {
        fields.note(no_time(fields));
    }
    Some(AuthoredDeviation {
        id: id?,
        site: site?,
        recipe: recipe?,
        from,
        until: until?,
        reason: reason?,
        limits: limits.unwrap_or_default(),
        departures,
    })
}

fn nothing(fields: &Fields<'_>) -> Finding {
    Finding::error("no-departure", "the deviation names nothing that is made otherwise")
        .at(fields.span(), "this deviation")
        .hint("add a `[[line]]` with its `number` and what it takes, or a `[[step]]` with its `id`")
}

fn no_time(fields: &Fields<'_>) -> Finding {
    Finding::error("no-time", "the deviation falls away before it holds")
        .at(fields.span_of("until"), "falls away")
        .at(fields.span_of("from"), "holds")
        .hint("give `until` a later day than `from`")
}

fn line(fields: &mut Fields<'_>) -> Option<Departure> {
    let number = fields.required("number", Value::integer);
    let ingredient = fields.optional("ingredient", Value::id::<IngredientId>);
    let component = fields.optional("component", Value::id::<RecipeId>);
    let with = fields.optional("with", Value::id::<IngredientId>);
    let amount = fields.optional("amount", amount);
    let times = fields.optional("times", plain_number);
    let uses = match (ingredient, component) {
        (Some(id), None) => Uses::Ingredient(id),
        (None, Some(id)) => Uses::Component(id),
        _ => return unnamed(fields),
    };
    let number = u32::try_from(number?).ok().filter(|number| *number > 0);
    let line = LineRef { number: number.or_else(|| no_number(fields))?, uses };
    let amount = match (amount, times) {
        (Some(_), Some(_)) => return two_amounts(fields),
        (Some(amount), None) => Some(NewAmount::Exactly(amount)),
        (None, Some(times)) => Some(NewAmount::Times(times)),
        (None, None) => None,
    };
    taken(fields, line, with, amount)
}

fn taken(
    fields: &Fields<'_>,
    line: LineRef,
    with: Option<IngredientId>,
    amount: Option<NewAmount>,
) -> Option<Departure> {
    match (with, amount) {
        (Some(with), Some(amount)) => Some(Departure::Ingredient { line, with, amount }),
        (Some(with), None) => {
            let amount = NewAmount::Times(Number::whole(1));
            Some(Departure::Ingredient { line, with, amount })
        }
        (None, Some(to)) => Some(Departure::Amount { line, to }),
        (None, None) => {
            fields.note(
                Finding::error("no-departure", "the line takes what it took")
                    .at(fields.span(), "what is otherwise?")
                    .hint("add `with = \"...\"`, `amount = \"...\"` or `times = \"...\"`"),
            );
            None
        }
    }
}

fn unnamed<T>(fields: &Fields<'_>) -> Option<T> {
    fields.note(
        Finding::error("nothing-used", "the line doesn't say what it takes in the standard")
            .at(fields.span(), "this line")
            .hint("add `ingredient` or `component`, so that a slip in the number is found"),
    );
    None
}

fn no_number(fields: &Fields<'_>) -> Option<u32> {
    fields.note(
        Finding::error("bad-number", "lines are counted from 1")
            .at(fields.span_of("number"), "no line's number")
            .hint("give the number that the standard's sheet shows"),
    );
    None
}

fn two_amounts<T>(fields: &Fields<'_>) -> Option<T> {
    fields.note(
        Finding::error("two-amounts", "the line says twice how much")
            .at(fields.span_of("times"), "as a multiple")
            .at(fields.span_of("amount"), "and as an amount")
            .hint("keep one of them"),
    );
    None
}

fn step(fields: &mut Fields<'_>) -> Option<Vec<Departure>> {
    let id = fields.required("id", Value::id);
    let text: Option<Text> = fields.optional("text", by_language);
    let controls = fields.each("control", |value| {
        value.table("a control", |fields| {
            let number = fields.required("number", Value::integer);
            let to = control(fields);
            let number = u32::try_from(number?).ok().filter(|number| *number > 0);
            Some((number.or_else(|| no_number(fields))?, to?))
        })
    });
    let step: chablon_model::StepId = id?;
    let wording = text.map(|to| Departure::Wording { step: step.clone(), to });
    let control = |(number, to)| Departure::Control { step: step.clone(), number, to };
    Some(wording.into_iter().chain(controls?.into_iter().map(control)).collect())
}
