//! One piece is scaled and costed at each kitchen.

use chablon_arith::Target;
use chablon_model::Uses;
use chablon_quantity::Exact;
use chablon_sdk::Standard;
use chablon_sdk::figures::{Component, Line, Plan};

use super::stage::Stage;
use super::story;
use super::{BAVAROIS, PIECE, PIECES, acts, day, recipe};
use crate::failure::Failure;
use crate::text::{Listing, Side, Tongue};

pub(super) async fn show(stage: &Stage) -> Result<(), Failure> {
    story::step(
        4,
        &format!("{PIECES} entremets: the same recipe, each kitchen's own bowls and scales"),
    )?;
    story::typed(&format!(
        "chablon scale --replica harbour.db --recipe {PIECE} --pieces {PIECES}"
    ))?;
    story::shown("Of each kitchen's sheet, the honey bavarois: what one batch takes")?;
    story::table(&weighed(stage, story::width()).await?)?;

    story::step(5, "What they cost, with each kitchen's own prices and wages")?;
    let day = day();
    story::typed(&format!(
        "chablon cost --replica harbour.db --recipe {PIECE} --pieces {PIECES} --on {day}"
    ))?;
    story::table(&costed(stage, story::width()).await?)
}

/// The bavarois at each kitchen, side by side.
async fn weighed(stage: &Stage, width: usize) -> Result<String, Failure> {
    let mut plans = Vec::new();
    let mut standards = Vec::new();
    for kitchen in &stage.kitchens {
        let standard = acts::standard(kitchen, &recipe(PIECE)).await?;
        let plan = standard.scale(&Target::pieces(PIECES));
        plans.push(plan.map_err(|error| Failure::of_figure(&error))?);
        standards.push(standard);
    }
    let parts: Vec<&Component> = plans.iter().filter_map(|plan| plan.component(BAVAROIS)).collect();
    let mut listing = listing(parts.len());
    listing.head(std::iter::once(String::new()).chain(plans.iter().map(site)));
    listing.row(std::iter::once("Batches".to_owned()).chain(parts.iter().map(|one| batches(one))));
    let lines = parts.first().map_or(&[][..], |one| &one.lines);
    for (at, line) in lines.iter().enumerate() {
        let name = standards.first().and_then(|standard| name(standard, &line.uses));
        let readings = parts.iter().map(|one| reading(&one.lines[at]));
        listing.row(std::iter::once(name.unwrap_or(line.uses.id()).to_owned()).chain(readings));
    }
    Ok(listing.render(width))
}

/// What an ingredient or a recipe is called in English.
fn name<'a>(standard: &'a Standard, uses: &Uses) -> Option<&'a str> {
    let english = &"en".parse().ok()?;
    match uses {
        Uses::Ingredient(id) => standard.ingredients().get(id)?.name.in_language(english, english),
        Uses::Component(id) => standard.recipes().get(id)?.title.in_language(english, english),
    }
}

/// A column of names and so many of numbers.
fn listing(columns: usize) -> Listing {
    Listing::new(0, std::iter::once(Side::Left).chain(std::iter::repeat_n(Side::Right, columns)))
}

fn site(plan: &Plan) -> String {
    plan.site.as_ref().map(ToString::to_string).unwrap_or_default()
}

fn batches(component: &Component) -> String {
    let each = component.input_g.exact() / Exact::from(component.batches);
    format!("{} of {}", component.batches, Tongue::English.grams(&each))
}

/// What the scale shows for a batch, and which scale.
fn reading(line: &Line) -> String {
    let Some(weigh) = &line.weigh else { return String::new() };
    let times =
        if weigh.weighings > 1 { format!("{} × ", weigh.weighings) } else { String::new() };
    format!("{times}{} on {}", Tongue::English.grams(weigh.reading_g.exact()), weigh.scale)
}

async fn costed(stage: &Stage, width: usize) -> Result<String, Failure> {
    let mut listing = listing(4);
    listing.head(["", "food", "labour", "together", "by the piece"]);
    for kitchen in &stage.kitchens {
        let standard = acts::standard(kitchen, &recipe(PIECE)).await?;
        let cost = standard.cost(&Target::pieces(PIECES), day());
        let cost = cost.map_err(|error| Failure::of_figure(&error))?;
        let currency = cost.currency;
        let money = |figure: &chablon_sdk::figures::Figure| format!("{figure} {currency}");
        let per_piece = cost.per_piece.as_ref().map(money).unwrap_or_default();
        let site = kitchen.site().to_string();
        listing.row([site, money(&cost.food), money(&cost.labour), money(&cost.total), per_piece]);
    }
    Ok(listing.render(width))
}
