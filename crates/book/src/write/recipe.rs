//! A recipe.

use chablon_model::{Amount, DeclaredContent, Line, Loss, Recipe, Scaling, Uses, Yield};
use chablon_quantity::{Authored, CountUnit, Number};

use super::page::Page;
use super::shape;
use super::step::step;

pub(super) fn recipe(recipe: &Recipe) -> String {
    let mut page = Page::default();
    page.text("id", &recipe.id);
    page.by_language("title", &recipe.title);
    page.optional("density", recipe.density);
    page.optional("note", recipe.note.as_ref());
    if let Some(made) = &recipe.yields {
        yields(&mut page, made);
    }
    batch(&mut page, recipe);
    recipe.lines.iter().for_each(|one| line(&mut page, one));
    recipe.losses.iter().for_each(|one| loss(&mut page, one));
    recipe.steps.iter().for_each(|one| step(&mut page, one));
    if let Some(storage) = &recipe.storage {
        page.table("[storage]");
        page.text("condition", storage.condition.as_str());
        page.optional("keeps", storage.keeps);
    }
    declared(&mut page, &recipe.declared);
    page.finish()
}

fn declared(page: &mut Page, declared: &DeclaredContent) {
    if declared.is_empty() {
        return;
    }
    page.table("[declared]");
    for (nutrient, mass) in &declared.content.0 {
        page.text(nutrient.as_str(), mass);
    }
    page.optional("energy_kj", declared.energy_kj);
    page.optional("energy_kcal", declared.energy_kcal);
}

fn yields(page: &mut Page, made: &Yield) {
    page.table("[yield]");
    match made {
        Yield::Mass(mass) => page.text("mass", mass),
        Yield::Pieces { count, piece_mass, outline } => {
            pieces(page, *count);
            page.optional("piece_mass", *piece_mass);
            if let Some(outline) = outline {
                shape::outline(page, outline);
            }
        }
        Yield::Sheet(made) => shape::sheet_yield(page, made),
    }
}

/// A whole number stands without its unit.
fn pieces(page: &mut Page, count: Authored<CountUnit>) {
    match count.number {
        Number::Decimal { coefficient, exponent: 0 } => page.raw("pieces", coefficient),
        _ => page.text("pieces", count),
    }
}

fn batch(page: &mut Page, recipe: &Recipe) {
    let batch = &recipe.batch;
    if batch.max.is_none() && batch.min.is_none() && batch.equipment.is_none() {
        return;
    }
    page.table("[batch]");
    page.optional("max", batch.max);
    page.optional("min", batch.min);
    page.optional("equipment", batch.equipment.as_ref());
}

fn line(page: &mut Page, line: &Line) {
    page.table("[[line]]");
    match &line.uses {
        Uses::Ingredient(id) => page.text("ingredient", id),
        Uses::Component(id) => page.text("component", id),
    }
    match &line.amount {
        Amount::Mass(mass) => page.text("amount", mass),
        Amount::Volume(volume) => page.text("amount", volume),
        Amount::Count(count) => page.text("amount", count),
        Amount::Share(share) => page.text("amount", share),
        Amount::Shape(shape) => page.raw("amount", shape::amount(shape)),
        Amount::ToTaste => page.text("amount", "to taste"),
    }
    page.flag("base", line.base);
    if line.scaling != Scaling::Proportional {
        page.text("scaling", line.scaling.as_str());
    }
    page.optional("tolerance", line.tolerance);
    page.optional("step", line.step.as_ref());
}

fn loss(page: &mut Page, loss: &Loss) {
    page.table("[[loss]]");
    match loss {
        Loss::Stage { stage, kind, fraction } => {
            page.optional("stage", stage.as_ref());
            page.text("kind", kind.as_str());
            page.text("fraction", fraction);
        }
        Loss::Residue { stage, mass } => {
            page.optional("stage", stage.as_ref());
            page.text("residue", mass);
        }
    }
}
