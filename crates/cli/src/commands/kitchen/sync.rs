//! `chablon kitchen sync`.

use chablon_model::{Deviation, DocumentKey, DocumentKind, Moment};
use chablon_sdk::{Client, Listed, Relisted, Replica, Synced};
use clap::Args;

use super::ReplicaArguments;
use super::progress::Bar;
use super::trust::{TrustArguments, say_notices};
use crate::arguments::HubArguments;
use crate::failure::{Exit, Failure};
use crate::{clock, console, text};

/// Catch up with the hub once
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    replica: ReplicaArguments,
    #[command(flatten)]
    hub: HubArguments,
    #[command(flatten)]
    trust: TrustArguments,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let client = arguments.hub.client()?;
    let replica = arguments.replica.open().await?;
    arguments.trust.apply(&replica, &client, &arguments.hub).await?;
    let caught_up = catch_up(&replica, &client).await;
    replica.close().await;
    console::result(&caught_up?)?;
    Ok(Exit::Result)
}

/// Catches up, and says what is new in force.
pub(in crate::commands) async fn catch_up(
    replica: &Replica,
    client: &Client,
) -> Result<String, Failure> {
    let before = Before::now(replica).await?;
    let bar = Bar::new();
    let synced = replica.sync_with(client, |progress| bar.show(progress)).await;
    bar.clear();
    let synced = synced.map_err(|error| {
        Failure::of(&error, "nothing more was taken; what is held goes on being good")
    })?;
    say_relisted(&synced);
    news(replica, &before, synced.progress.position).await
}

/// What was in force at a moment.
pub(super) struct Before {
    standards: Vec<Listed>,
    deviations: Vec<Deviation>,
}

impl Before {
    pub(super) async fn now(replica: &Replica) -> Result<Self, Failure> {
        let (standards, deviations) = known(replica).await?;
        Ok(Self { standards, deviations })
    }

    fn had(&self, listed: &Listed) -> bool {
        self.standards.contains(listed)
    }
}

pub(super) async fn standards(replica: &Replica, at: Moment) -> Result<Vec<Listed>, Failure> {
    let standards = replica.standards(at).await;
    standards.map_err(|error| Failure::of(&error, "it isn't known what is in force"))
}

async fn known(replica: &Replica) -> Result<(Vec<Listed>, Vec<Deviation>), Failure> {
    let now = clock::now();
    let deviations = replica.deviations(now).await;
    let deviations = deviations.map_err(|error| Failure::of(&error, "deviations aren't known"))?;
    Ok((standards(replica, now).await?, deviations))
}

/// What is in force since a catch-up and was not before.
pub(super) async fn news(
    replica: &Replica,
    before: &Before,
    position: u64,
) -> Result<String, Failure> {
    let (now, deviations) = known(replica).await?;
    let decided = deviations.iter().filter(|one| !before.deviations.contains(one));
    let decided: String = decided.filter_map(text::decided).collect();
    let new: Vec<&Listed> = now.iter().filter(|one| !before.had(one)).collect();
    let news = if before.standards.is_empty() {
        format!("In force: {}.", text::contents(now.iter().map(|one| one.document.kind)))
    } else if new.is_empty() && !decided.is_empty() {
        String::new()
    } else if new.is_empty() {
        "Nothing new is in force.".to_owned()
    } else {
        text::news(&new)
    };
    let news = [news, decided].into_iter().filter(|part| !part.is_empty());
    let news = news.collect::<Vec<_>>().join("\n");
    Ok(format!("{} is up to date (feed position {position}).\n{news}", replica.site()))
}

/// Why all was listed anew, where it was; and whether the hub knows what was received.
pub(super) fn say_relisted(synced: &Synced) {
    say_why(synced.relisted);
    say_notices(&synced.notices);
    if let Some(error) = &synced.unsaid {
        console::note(&format!(
            "! The hub doesn't know yet what was received ({error}); the next sync says so."
        ));
    }
}

/// Why all was listed anew, where it was.
pub(super) fn say_why(relisted: Option<Relisted>) {
    if let Some(why) = relisted {
        console::note(match why {
            Relisted::Unvouched => {
                "A root of trust was pinned or the hub's key was replaced, so all was listed anew and verified."
            }
            Relisted::OtherHistory => {
                "The hub has another history than before (it was restored or made anew), so all was listed anew."
            }
            Relisted::OtherView => {
                "The kitchen's groups changed, so all that concerns it was listed anew."
            }
            Relisted::Compacted => {
                "The hub no longer lists what was superseded long ago, so all was listed anew."
            }
            _ => {
                "! The hub shows other entries than before under the same name, so all was listed anew. Tell whoever runs it."
            }
        });
    }
}

/// The recipes among what is in force.
pub(super) fn recipes(standards: &[Listed]) -> impl Iterator<Item = &DocumentKey> {
    let keys = standards.iter().map(|one| &one.document);
    keys.filter(|key| key.kind == DocumentKind::Recipe)
}
