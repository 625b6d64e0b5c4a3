//! Whom a kitchen trusts.

use std::path::Path;

use chablon_sdk::trust::Notice;
use chablon_sdk::{Client, Pin, Replica};
use clap::Args;

use crate::arguments::HubArguments;
use crate::console;
use crate::failure::Failure;
use crate::keys::read_root;

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
        let pin = match self.pin()? {
            Some(pin) => Some(pin),
            None => hub.root()?.map(Pin::Digest),
        };
        let Some(pin) = pin else { return Ok(()) };
        let failed = |error| Failure::of(&error, "no root was pinned and nothing was taken");
        let before = replica.trusted_root().await.map_err(failed)?;
        let root = match (replica.pin(client, &pin).await, &before) {
            (Err(error), Some(held)) if error.is_unavailable() => {
                console::note(&format!(
                    "! The hub is out of reach, so it isn't known whether the pinned root leads to the one that is trusted, {}. What is taken is held to that one.",
                    held.frozen().digest
                ));
                return Ok(());
            }
            (pinned, _) => pinned.map_err(failed)?,
        };
        if pin == Pin::FirstShown && before.is_none() {
            console::note(&format!(
                "! The root {} was trusted because the hub showed it first. Compare it with the chef's before anything is made by it.",
                root.frozen().digest
            ));
        }
        Ok(())
    }
}

/// Tells what has expired, or doesn't fit. It disables nothing.
pub(super) fn say_notices(notices: &[Notice]) {
    for notice in notices {
        console::note(&format!("! {notice}. What is held goes on being good."));
    }
}
