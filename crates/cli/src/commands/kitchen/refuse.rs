//! `chablon kitchen refuse`.

use std::path::PathBuf;

use chablon_model::{DocumentKey, RecipeId};
use chablon_sdk::Replica;
use clap::Args;

use super::{sync, use_};
use crate::arguments::LineArguments;
use crate::console;
use crate::failure::{Exit, Failure};

/// Say that the kitchen doesn't work by a release, and why; it stays the standard
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// Recipes whose standard came with that release
    #[arg(value_name = "RECIPE", required = true)]
    recipes: Vec<RecipeId>,
    /// Why, as the chef reads it
    #[arg(long, value_name = "TEXT")]
    reason: String,
    /// The replica's file
    #[arg(long, value_name = "FILE", env = "CHABLON_REPLICA")]
    replica: PathBuf,
    /// Tell this hub at once, not with the next sync
    #[arg(long, value_name = "URL", value_delimiter = ',', env = "CHABLON_HUB")]
    hub: Vec<String>,
    #[command(flatten)]
    line: LineArguments,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let failed = |error| Failure::of(&error, "nothing was said");
    let replica = Replica::reopen(&arguments.replica).await.map_err(failed)?;
    let keys: Vec<DocumentKey> = arguments.recipes.iter().map(DocumentKey::from).collect();
    if let Err(error) = replica.say_refused(&keys, &arguments.reason).await {
        return Err(use_::unknown(&replica, &arguments.recipes, &error).await);
    }
    let told = if arguments.hub.is_empty() {
        "The next sync tells the hub."
    } else {
        sync::catch_up(&replica, &arguments.line.connect(&arguments.hub)?).await?;
        "The hub knows."
    };
    console::result(&format!("Refused at {}: {}. {told}", replica.site(), arguments.reason))?;
    replica.close().await;
    Ok(Exit::Result)
}
