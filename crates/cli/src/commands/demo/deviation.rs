//! A kitchen asks to make the standard otherwise for a time, and the chef lets it.

use std::fs;

use super::stage::Stage;
use super::story;
use super::{BAVAROIS, acts, recipe};
use crate::commands::deviations;
use crate::failure::Failure;
use crate::text;

/// What the kitchen writes down.
const ASKED: &str = r#"id = "station-honey"
site = "station"
recipe = "honey-bavarois"
until = 2099-01-01
reason = "Acacia honey is short until the new harvest"
[[line]]
number = 2
ingredient = "honey-acacia"
times = "0.9"
"#;

pub(super) async fn show(stage: &Stage) -> Result<(), Failure> {
    story::step(9, "The station is short of honey. It asks for leave to deviate, and gets it")?;
    let file = stage.folder().join("station-honey.toml");
    fs::write(&file, ASKED)
        .map_err(|error| Failure::hub(format!("{} can't be written: {error}", file.display())))?;
    story::typed("chablon deviations ask station-honey.toml --yes")?;
    let authored = deviations::read_file(&file)?;
    let (deviation, assessment) = deviations::prepare_ask(&stage.client, authored).await?;
    let changes = assessment.comparison.changes();
    let first = changes.first().map(|change| format!("{}: {change}", change.class()));
    story::shown(&first.unwrap_or_default())?;
    story::shown(&format!("and {} more, with cost and content", changes.len().saturating_sub(1)))?;
    deviations::send_ask(&stage.client, &deviation).await?;
    story::typed("chablon deviations grant station-honey --yes")?;
    story::shown(&deviations::granted(&stage.client, &deviation.id, acts::AUTHOR).await?)?;
    acts::take_up(stage, &["station"]).await?;
    let standard = acts::standard(stage.kitchen("station"), &recipe(BAVAROIS)).await?;
    story::shown(&text::laid(standard.deviations(), story::width()))
}
