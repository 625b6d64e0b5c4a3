//! The chef corrects a recipe: the pilot's kitchen tries it first, then all take it up.

use chablon_arith::Target;

use super::stage::{SITES, Stage};
use super::story;
use super::{BAVAROIS, PIECE, PIECES, acts, recipe};
use crate::failure::Failure;
use crate::text::Tongue;

/// The line of the book that the chef edits, before and after.
const EDIT: [&str; 2] = [
    "ingredient = \"honey-acacia\"\namount = \"170 g\"",
    "ingredient = \"honey-acacia\"\namount = \"150 g\"",
];

/// And what the pilot makes of it.
const SETTLED: [&str; 2] = [
    "ingredient = \"honey-acacia\"\namount = \"150 g\"",
    "ingredient = \"honey-acacia\"\namount = \"155 g\"",
];

pub(super) async fn show(stage: &Stage) -> Result<(), Failure> {
    story::step(7, "The bavarois is too sweet: less honey, at the pilot's kitchen first")?;
    story::shown(
        "In book/recipes/honey-bavarois.toml, acacia honey: \"170 g\" becomes \"150 g\".",
    )?;
    let before = honey(stage).await?;
    stage.edit("recipes/honey-bavarois.toml", EDIT[0], EDIT[1])?;
    acts::pilot(stage, "pilot", "Bavarois less sweet: honey 170 g -> 150 g").await?;
    acts::take_up(stage, &SITES).await?;
    let after = honey(stage).await?;
    story::shown(&format!(
        "Honey for the bavarois of {PIECES} entremets at harbour: {before} before, {after} now."
    ))?;

    story::step(8, "The pilot wants a little more of it back: 155 g, now for every kitchen")?;
    stage.edit("recipes/honey-bavarois.toml", SETTLED[0], SETTLED[1])?;
    acts::release(stage, "Bavarois: honey 155 g, after the pilot").await?;
    acts::take_up(stage, &SITES).await
}

/// How much honey the bavarois takes at a kitchen.
async fn honey(stage: &Stage) -> Result<String, Failure> {
    let standard = acts::standard(stage.kitchen("harbour"), &recipe(PIECE)).await?;
    let plan =
        standard.scale(&Target::pieces(PIECES)).map_err(|error| Failure::of_figure(&error))?;
    let lines = plan.component(BAVAROIS).into_iter().flat_map(|component| &component.lines);
    let mut honey = lines.filter(|line| line.uses.id() == "honey-acacia");
    let mass = honey.next().map(|line| Tongue::English.grams(line.mass_g.exact()));
    mass.ok_or_else(|| Failure::internal("the bavarois has no honey"))
}
