//! `chablon kitchen follow`.

use chablon_sdk::{Event, Replica};
use clap::Args;
use tokio::sync::mpsc;
use tokio_util::sync::CancellationToken;

use super::ReplicaArguments;
use super::serve::{Service, ServingArguments};
use super::sync::{Before, news, say_relisted};
use super::trust::TrustArguments;
use crate::arguments::HubArguments;
use crate::failure::{Exit, Failure};
use crate::{clock, console, signals};

/// Stay up to date until told to stop
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    replica: ReplicaArguments,
    #[command(flatten)]
    hub: HubArguments,
    #[command(flatten)]
    trust: TrustArguments,
    #[command(flatten)]
    serving: ServingArguments,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let client = arguments.hub.client()?;
    let replica = arguments.replica.open().await?;
    let service = arguments.serving.begin(&arguments.replica).await?;
    let stop = CancellationToken::new();
    signals::cancel_when_told(stop.clone());
    let (sender, mut events) = mpsc::unbounded_channel();
    let following = async {
        let trust = &arguments.trust;
        trust.apply_when_heard(&replica, &client, &arguments.hub, stop.cancelled()).await?;
        let told = replica.follow(&client, stop.cancelled(), move |event| {
            // Nobody listens only where printing has failed, which ends all of this.
            let _ = sender.send(event);
        });
        told.await.map_err(|error| Failure::of(&error, "the hub is no longer followed"))
    };
    let printing = async {
        let mut teller =
            Teller { replica: &replica, before: Before::now(&replica).await?, away: false };
        while let Some(event) = events.recv().await {
            teller.tell(event).await?;
        }
        Ok(())
    };
    let followed = tokio::try_join!(following, printing, served(service, stop.clone()));
    replica.close().await;
    followed?;
    console::note("No longer following; what is held goes on being good.");
    Ok(Exit::Result)
}

async fn served(service: Option<Service>, stop: CancellationToken) -> Result<(), Failure> {
    match service {
        Some(service) => service.run(stop).await,
        None => Ok(()),
    }
}

/// Tells what happens, each thing once.
struct Teller<'a> {
    replica: &'a Replica,
    before: Before,
    /// Whether the hub is known to be out of reach.
    away: bool,
}

impl Teller<'_> {
    async fn tell(&mut self, event: Event) -> Result<(), Failure> {
        match event {
            Event::CaughtUp(synced) => {
                say_relisted(&synced);
                self.news(synced.progress.position).await
            }
            Event::Took { position, .. } => self.news(position).await,
            Event::Interrupted { error, .. } => {
                if let Some(rule) = error.untrusted() {
                    console::note(&format!(
                        "! {} Nothing was taken from the hub: {rule}. What is held goes on being good; tell whoever runs the hub, and the chef.",
                        clock::show(clock::now())
                    ));
                } else if !self.away {
                    console::note(&format!(
                        "{} The hub is out of reach ({error}). What is held goes on being good; it is tried again until it answers.",
                        clock::show(clock::now())
                    ));
                }
                self.away = true;
                Ok(())
            }
            _ => Ok(()),
        }
    }

    async fn news(&mut self, position: u64) -> Result<(), Failure> {
        let news = news(self.replica, &self.before, position).await?;
        console::result(&format!("{} {news}", clock::show(clock::now())))?;
        self.before = Before::now(self.replica).await?;
        self.away = false;
        Ok(())
    }
}
