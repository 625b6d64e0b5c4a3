//! A faulty revision gets out, is withdrawn, and a kitchen that was away catches up.

use chablon_model::DocumentKey;

use super::stage::Stage;
use super::story;
use super::{BAVAROIS, PIECE, acts, recipe};
use crate::commands::standards;
use crate::failure::Failure;
use crate::{clock, text};

/// A decimal point in the wrong place: a tenth of the gelatine.
const SLIP: [&str; 2] = ["amount = \"174 g\"", "amount = \"17.4 g\""];
/// The kitchens that are not cut off.
const ONLINE: [&str; 2] = ["harbour", "millrace"];
/// What the kitchens read.
const REASON: &str = "too little gelatine";

pub(super) async fn show(stage: &Stage) -> Result<(), Failure> {
    story::step(10, "A slip gets out: a tenth of the gelatine. The station is offline meanwhile")?;
    story::shown(
        "In book/recipes/honey-bavarois.toml, gelatine mass: \"174 g\" becomes \"17.4 g\".",
    )?;
    stage.edit("recipes/honey-bavarois.toml", SLIP[0], SLIP[1])?;
    acts::release(stage, "Bavarois: gelatine").await?;
    acts::take_up(stage, &ONLINE).await?;

    story::step(
        11,
        "It is withdrawn: back to the revision before, in the component and in the piece",
    )?;
    acts::withdraw(stage, &recipe(BAVAROIS), 3, REASON).await?;
    acts::withdraw(stage, &recipe(PIECE), 3, REASON).await?;
    acts::take_up(stage, &ONLINE).await?;
    let station = acts::standard(stage.kitchen("station"), &recipe(PIECE)).await?;
    story::shown(&format!(
        "The station, still offline, has gone on by revision {} all the while.",
        station.revision().number
    ))?;

    story::step(12, "The station is back and catches up. Who is on what")?;
    acts::take_up(stage, &["station"]).await?;
    story::typed(&format!("chablon standards --recipe {BAVAROIS} --recipe {PIECE}"))?;
    let pieces = [recipe(BAVAROIS), recipe(PIECE)];
    let wanted = |key: &DocumentKey| pieces.iter().any(|id| *key == id.into());
    let all = standards::of_hub(&stage.client, None, clock::now(), wanted).await?;
    story::table(&text::by_document(&all, story::width()))
}
