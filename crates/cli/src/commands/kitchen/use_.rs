//! `chablon kitchen use`.

use chablon_model::{DocumentKey, RecipeId};
use chablon_sdk::{Error, Replica};
use clap::Args;

use super::saying::Saying;
use super::sync;
use crate::failure::{Exit, Failure};
use crate::{clock, nearest, text};

/// Say that the kitchen works by the standards in force
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// These recipes; all in force if none is named
    recipes: Vec<RecipeId>,
    #[command(flatten)]
    said: Saying,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let replica = arguments.said.replica().await?;
    let said = say(&replica, &arguments.recipes).await?;
    let said = format!("{} in use at {}", text::counted(said, "recipe"), replica.site());
    arguments.said.tell(replica, &said).await
}

/// Says that recipes, or all in force, are in use; how many those are.
pub(in crate::commands) async fn say(
    replica: &Replica,
    recipes: &[RecipeId],
) -> Result<usize, Failure> {
    let mut keys: Vec<DocumentKey> = recipes.iter().map(DocumentKey::from).collect();
    if keys.is_empty() {
        keys = sync::recipes(&sync::standards(replica, clock::now()).await?).cloned().collect();
    }
    if let Err(error) = replica.say_in_use(&keys).await {
        return Err(unknown(replica, recipes, &error).await);
    }
    Ok(keys.len())
}

/// Why nothing was said, with the nearest recipe where one isn't known.
pub(super) async fn unknown(replica: &Replica, recipes: &[RecipeId], error: &Error) -> Failure {
    let failure = Failure::of(error, "nothing was said");
    let Ok(standards) = sync::standards(replica, clock::now()).await else { return failure };
    let known: Vec<&str> = sync::recipes(&standards).map(|key| key.id.as_str()).collect();
    let unknown = recipes.iter().find(|recipe| !known.contains(&recipe.as_str()));
    let hint = unknown.and_then(|id| nearest::hint(id.as_str(), known.iter().copied()));
    failure.hint_if(hint)
}
