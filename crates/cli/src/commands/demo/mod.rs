//! `chablon demo`: the whole way of a group's standards, on this machine, in a few seconds.
//!
//! Nothing in it is made up for the occasion: a hub on SQLite that is spoken to over a real
//! connection, three replicas, and the same calls that the commands make which it shows.

mod acts;
mod correction;
mod deviation;
mod fault;
mod figures;
mod opening;
mod same;
mod stage;
mod story;

use std::path::PathBuf;

use chablon_model::{Day, RecipeId};
use clap::Args;

use crate::failure::{Exit, Failure};
use crate::{runtime, signals};
use stage::Stage;

/// Show the whole way once: a book, a hub, three kitchens, a pilot, a deviation, a withdrawal
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// Keep the files in this new folder, to go on from there
    #[arg(long, value_name = "DIR")]
    keep: Option<PathBuf>,
}

/// The piece that is made.
const PIECE: &str = "pear-buckwheat-entremet";
/// The component that is corrected.
const BAVAROIS: &str = "honey-bavarois";
/// How many pieces.
const PIECES: u32 = 120;

/// The day whose prices count: one on which the book's prices hold, so that the figures are the
/// same whenever the demonstration is shown.
fn day() -> Day {
    Day::new(2026, 11, 25).expect("a day of the calendar")
}

fn recipe(id: &str) -> RecipeId {
    id.parse().expect("a constant id")
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    runtime::run(async {
        let stage = Stage::build(arguments.keep.as_deref()).await?;
        let shown = tokio::select! {
            shown = show(&stage) => shown,
            () = signals::told() => Err(Failure::refused("stopped before its end")),
        };
        let taken_down = stage.take_down().await;
        shown?;
        taken_down?;
        Ok(Exit::Result)
    })
}

async fn show(stage: &Stage) -> Result<(), Failure> {
    story::begin(stage)?;
    opening::show(stage).await?;
    figures::show(stage).await?;
    same::show(stage).await?;
    correction::show(stage).await?;
    deviation::show(stage).await?;
    fault::show(stage).await?;
    story::end(stage)
}
