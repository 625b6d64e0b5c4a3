//! `recipes/*.toml`: one recipe per file.

mod batch;
mod control;
mod declared;
mod line;
mod loss;
mod mould;
mod shape;
mod sheet;
mod step;
mod yields;

use chablon_model::{Condition, DocumentKind, Recipe, Storage};

pub(super) use control::control;
pub(super) use sheet::sheet;

use super::fields::Fields;
use super::notes::Named;
use super::quantity::above_zero;
use super::value::Value;
use super::wording::by_language;

/// A recipe.
pub(super) fn recipe(fields: &mut Fields<'_>) -> Option<Recipe> {
    let id = fields.document(DocumentKind::Recipe, Named::Recipe);
    let title = fields.required("title", by_language);
    let density = fields.optional("density", above_zero);
    let note = fields.optional("note", Value::text);
    let yields = fields.optional("yield", |value| value.table("the yield", yields::yields));
    let batch = fields
        .optional("batch", |value| value.table("the batch", |fields| Some(batch::batch(fields))));
    let known_steps = fields.texts_of_each("step", "id");
    let lines = line::lines(fields, &known_steps);
    let losses = fields.each("loss", |value| value.table("a loss", loss::loss));
    let steps = step::steps(fields, &known_steps);
    let storage = fields.optional("storage", |value| value.table("the storage", storage));
    let declared = fields.optional("declared", |value| {
        value.table("what is declared", |fields| Some(declared::declared(fields)))
    });
    Some(Recipe {
        id: id?,
        title: title?,
        density,
        note,
        yields,
        batch: batch.unwrap_or_default(),
        lines: lines?,
        losses: losses?,
        steps: steps?,
        storage,
        declared: declared.unwrap_or_default(),
    })
}

fn storage(fields: &mut Fields<'_>) -> Option<Storage> {
    let condition =
        fields.required("condition", |value| value.one_of(Condition::ALL, Condition::as_str));
    let keeps = fields.optional("keeps", above_zero);
    Some(Storage { condition: condition?, keeps })
}
