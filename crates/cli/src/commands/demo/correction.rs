//! The chef corrects a recipe, and the kitchens take it up.

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

pub(super) async fn show(stage: &Stage) -> Result<(), Failure> {
    story::step(7, "The bavarois is too sweet: less honey")?;
    story::shown(
        "In book/recipes/honey-bavarois.toml, acacia honey: \"170 g\" becomes \"150 g\".",
    )?;
    let before = honey(stage).await?;
    stage.edit("recipes/honey-bavarois.toml", EDIT[0], EDIT[1])?;
    acts::release(stage, "Bavarois less sweet: honey 170 g -> 150 g").await?;
    acts::take_up(stage, &SITES).await?;
    let after = honey(stage).await?;
    story::shown(&format!(
        "Honey for the bavarois of {PIECES} entremets: {before} before, {after} now."
    ))
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
