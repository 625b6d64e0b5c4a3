//! Whom a kitchen trusts.

use std::mem;
use std::path::Path;
use std::time::Duration;

use chablon_sdk::trust::Notice;
use chablon_sdk::{Client, Error, Pin, Replica};
use clap::Args;

use crate::arguments::HubArguments;
use crate::failure::Failure;
use crate::keys::read_root;
use crate::{clock, console};

/// How long a hub that is out of reach is left alone.
const AGAIN: Duration = Duration::from_secs(2);

/// Which root of trust is pinned.
#[derive(Debug, Args)]
pub(super) struct TrustArguments {
    /// Trust this root from now on: its digest, its file, or `first` for the one that is shown first
    #[arg(long, value_name = "ROOT", env = "CHABLON_TRUST")]
    trust: Option<String>,
}

impl TrustArguments {
    /// The pin, where one is given.
    pub(super) fn pin(&self) -> Result<Option<Pin>, Failure> {
        let Some(text) = &self.trust else { return Ok(None) };
        if text == "first" {
            return Ok(Some(Pin::FirstShown));
        }
        if let Ok(digest) = text.parse() {
            return Ok(Some(Pin::Digest(digest)));
        }
        if !Path::new(text).is_file() {
            let message =
                format!("`{text}` is neither a root's digest nor a root file nor `first`");
            return Err(Failure::usage(message));
        }
        Ok(Some(Pin::Root(read_root(Path::new(text))?)))
    }

    /// Pins the root, where one is given or was named when the hub was joined.
    pub(super) async fn apply(
        &self,
        replica: &Replica,
        client: &Client,
        hub: &HubArguments,
    ) -> Result<(), Failure> {
        let Some(pin) = self.wanted(hub)? else { return Ok(()) };
        pin_root(replica, client, &pin).await.map_err(|error| nothing_taken(&error))
    }

    /// The same, for one who stays: a hub that is out of reach is asked again until a future is done.
    pub(super) async fn apply_when_heard(
        &self,
        replica: &Replica,
        client: &Client,
        hub: &HubArguments,
        until: impl Future<Output = ()>,
    ) -> Result<(), Failure> {
        let Some(pin) = self.wanted(hub)? else { return Ok(()) };
        tokio::select! {
            () = until => Ok(()),
            pinned = pin_once_heard(replica, client, &pin) => {
                pinned.map_err(|error| nothing_taken(&error))
            }
        }
    }

    /// The root that is given, or was named when the hub was joined.
    fn wanted(&self, hub: &HubArguments) -> Result<Option<Pin>, Failure> {
        Ok(match self.pin()? {
            Some(pin) => Some(pin),
            None => hub.root()?.map(Pin::Digest),
        })
    }
}

fn nothing_taken(error: &Error) -> Failure {
    Failure::of(error, "no root was pinned and nothing was taken")
}

/// Pins a root as soon as the hub can be asked, and says once that it can't be.
async fn pin_once_heard(replica: &Replica, client: &Client, pin: &Pin) -> Result<(), Error> {
    let mut told = false;
    loop {
        match pin_root(replica, client, pin).await {
            Err(error) if error.may_retry() => {
                if !mem::replace(&mut told, true) {
                    console::note(&format!(
                        "{} The hub is out of reach ({error}), so no root is pinned yet and nothing is taken; it is asked again until it answers.",
                        clock::show(clock::now())
                    ));
                }
            }
            pinned => return pinned,
        }
        tokio::time::sleep(AGAIN).await;
    }
}

/// Pins a root. A kitchen that trusts one goes on with it where the hub can't be asked.
async fn pin_root(replica: &Replica, client: &Client, pin: &Pin) -> Result<(), Error> {
    let before = replica.trusted_root().await?;
    let root = match (replica.pin(client, pin).await, &before) {
        (Err(error), Some(held)) if error.is_unavailable() => {
            console::note(&format!(
                "! The hub is out of reach, so it isn't known whether the pinned root leads to the one that is trusted, {}. What is taken is held to that one.",
                held.frozen().digest
            ));
            return Ok(());
        }
        (pinned, _) => pinned?,
    };
    if *pin == Pin::FirstShown && before.is_none() {
        console::note(&format!(
            "! The root {} was trusted because the hub showed it first. Compare it with the chef's before anything is made by it.",
            root.frozen().digest
        ));
    }
    Ok(())
}

/// Tells what has expired, or doesn't fit. It disables nothing.
pub(super) fn say_notices(notices: &[Notice]) {
    for notice in notices {
        console::note(&format!("! {notice}. What is held goes on being good."));
    }
}
