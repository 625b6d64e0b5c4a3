//! Recipes as a whole; lines and steps have files of their own.

mod declared;
mod line;
mod mould;
mod shape;
mod sheet;
mod step;

pub(crate) use shape::refusal;

use chablon_model::{Batch, Condition, DeclaredContent, Recipe, RecipeId, Storage, Yield};

use crate::common::text;
use crate::form::{
    Coded, Wire, code, coded, list, optional, optional_parsed, optional_words, required, to_list,
    to_optional, to_text,
};
use crate::quantity::{some, some_or_unset};
use crate::{At, Violation, pb};

/// The form of a recipe without its id, which is the revision's.
pub(crate) fn to_pb(recipe: &Recipe) -> pb::Recipe {
    pb::Recipe {
        title: recipe.title.to_pb(),
        lines: to_list(&recipe.lines),
        losses: to_list(&recipe.losses),
        steps: to_list(&recipe.steps),
        r#yield: to_optional(recipe.yields.as_ref()),
        batch: batch_to_pb(&recipe.batch),
        density: to_optional(recipe.density.as_ref()),
        storage: to_optional(recipe.storage.as_ref()),
        note: recipe.note.clone().unwrap_or_default(),
        declared: declared::to_pb(&recipe.declared),
    }
}

/// The recipe of an id.
pub(crate) fn from_pb(id: RecipeId, recipe: pb::Recipe) -> Result<Recipe, Violation> {
    let recipe = Recipe {
        id,
        title: text(recipe.title, "title")?,
        density: some_or_unset(recipe.density, "density")?,
        note: optional_words(recipe.note),
        yields: optional(recipe.r#yield, "yield")?,
        batch: optional::<Batch>(recipe.batch, "batch")?.unwrap_or_default(),
        lines: list(recipe.lines, "lines")?,
        losses: list(recipe.losses, "losses")?,
        steps: list(recipe.steps, "steps")?,
        storage: optional(recipe.storage, "storage")?,
        declared: optional::<DeclaredContent>(recipe.declared, "declared")?.unwrap_or_default(),
    };
    line::check(&recipe)?;
    step::check(&recipe)?;
    Ok(recipe)
}

impl Wire for Yield {
    type Pb = pb::Yield;

    fn to_pb(&self) -> pb::Yield {
        let declared = match self {
            Self::Mass(mass) => pb::r#yield::Declared::Mass(mass.to_pb()),
            Self::Pieces { count, piece_mass, outline } => {
                pb::r#yield::Declared::Pieces(pb::PieceYield {
                    pieces: Some(count.to_pb()),
                    piece_mass: to_optional(piece_mass.as_ref()),
                    outline: to_optional(outline.as_ref()),
                })
            }
            Self::Sheet(sheet) => pb::r#yield::Declared::Sheet(sheet.to_pb()),
        };
        pb::Yield { declared: Some(declared) }
    }

    fn from_pb(yields: pb::Yield) -> Result<Self, Violation> {
        match yields.declared.ok_or_else(Violation::required)? {
            pb::r#yield::Declared::Mass(mass) => some(Some(mass), "mass").map(Self::Mass),
            pb::r#yield::Declared::Pieces(pieces) => piece_yield(pieces).at("pieces"),
            pb::r#yield::Declared::Sheet(sheet) => {
                required(Some(sheet), "sheet").map(Box::new).map(Self::Sheet)
            }
        }
    }
}

fn piece_yield(yields: pb::PieceYield) -> Result<Yield, Violation> {
    Ok(Yield::Pieces {
        count: some(yields.pieces, "pieces")?,
        piece_mass: some_or_unset(yields.piece_mass, "piece_mass")?,
        outline: optional(yields.outline, "outline")?,
    })
}

fn batch_to_pb(batch: &Batch) -> Option<pb::Batch> {
    (*batch != Batch::default()).then(|| batch.to_pb())
}

impl Wire for Batch {
    type Pb = pb::Batch;

    fn to_pb(&self) -> pb::Batch {
        pb::Batch {
            max: to_optional(self.max.as_ref()),
            min: to_optional(self.min.as_ref()),
            equipment: to_text(self.equipment.as_ref()),
        }
    }

    fn from_pb(batch: pb::Batch) -> Result<Self, Violation> {
        let batch = Self {
            max: some_or_unset(batch.max, "max")?,
            min: some_or_unset(batch.min, "min")?,
            equipment: optional_parsed(&batch.equipment, "equipment")?,
        };
        match (&batch.min, &batch.max) {
            (Some(min), Some(max)) if min.quantity() > max.quantity() => {
                Err(Violation::new(format!("must be at most `max`, {max}")).at("min"))
            }
            _ => Ok(batch),
        }
    }
}

coded!(Condition = pb::StorageCondition { Ambient, Chilled, Frozen });

impl Wire for Storage {
    type Pb = pb::Storage;

    fn to_pb(&self) -> pb::Storage {
        pb::Storage { condition: self.condition.code(), keeps: to_optional(self.keeps.as_ref()) }
    }

    fn from_pb(storage: pb::Storage) -> Result<Self, Violation> {
        Ok(Self {
            condition: code(storage.condition, "condition")?,
            keeps: some_or_unset(storage.keeps, "keeps")?,
        })
    }
}
