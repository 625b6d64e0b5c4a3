//! `chablon kitchen refuse`.

use chablon_model::{DocumentKey, RecipeId};
use clap::Args;

use super::saying::Saying;
use super::use_;
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
    #[command(flatten)]
    said: Saying,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let replica = arguments.said.replica().await?;
    let keys: Vec<DocumentKey> = arguments.recipes.iter().map(DocumentKey::from).collect();
    if let Err(error) = replica.say_refused(&keys, &arguments.reason).await {
        return Err(use_::unknown(&replica, &arguments.recipes, &error).await);
    }
    let said = format!("Refused at {}: {}", replica.site(), arguments.reason);
    arguments.said.tell(replica, &said).await
}
