//! Staying up to date.

use std::future::Future;
use std::time::Duration;

use backon::BackoffBuilder as _;
use futures::StreamExt as _;

use super::Replica;
use super::sync::{Progress, Sync, Synced, Taken, why_anew};
use crate::client::Following;
use crate::{Changes, Client, Error};

/// What happens to a replica that follows its hub.
#[derive(Debug)]
#[non_exhaustive]
pub enum Event {
    /// It is catching up.
    CatchingUp(Progress),
    /// It has caught up.
    CaughtUp(Synced),
    /// Something new was taken.
    Took {
        /// How many entries.
        entries: u64,
        /// The position up to which all is taken.
        position: u64,
    },
    /// The hub is out of reach, or shows what isn't to be trusted ([`Error::untrusted`]). What is held
    /// goes on being good; it is tried again, for ever.
    Interrupted {
        /// Why.
        error: Error,
        /// After which pause the next attempt is made.
        pause: Duration,
    },
}

/// Whether the next attempt may fare better: the hub may answer again, another one may tell the
/// truth, a root may have been followed by its next version.
fn passes(error: &Error) -> bool {
    error.may_retry() || error.untrusted().is_some() || why_anew(error).is_some()
}

impl Replica {
    /// Catches up and then follows the hub until a future is done.
    ///
    /// A hub that can't be reached, now or at the beginning, is no error: it is tried again for
    /// ever, at each address in turn, and told as an [`Event`]. [`Replica::status`] says how long
    /// ago it was heard of.
    ///
    /// # Errors
    /// What trying again can't mend: [`Error::is_not_found`] where the hub doesn't know the site,
    /// [`Error::is_damaged`], [`Error::is_unsupported`].
    pub async fn follow(
        &self,
        client: &Client,
        until: impl Future<Output = ()> + Send,
        mut tell: impl FnMut(Event) + Send,
    ) -> Result<(), Error> {
        tokio::select! {
            () = until => Ok(()),
            failed = self.follow_on(client, &mut tell) => failed.map(|never| match never {}),
        }
    }

    async fn follow_on(
        &self,
        client: &Client,
        tell: &mut (impl FnMut(Event) + Send),
    ) -> Result<std::convert::Infallible, Error> {
        let pauses = || client.options().endless_pauses().build();
        let mut waits = pauses();
        loop {
            let ended = match self.catch_up(client, tell).await {
                Ok(()) => self.watch(client, tell, &mut || waits = pauses()).await,
                Err(error) => Err(error),
            };
            let error = match ended {
                Err(error) if passes(&error) => error,
                Err(error) => return Err(error),
                // Something didn't join; the next catch-up lists anew.
                Ok(()) => continue,
            };
            let pause = waits.next().unwrap_or(client.options().longest_pause);
            tell(Event::Interrupted { error, pause });
            tokio::time::sleep(pause).await;
        }
    }

    async fn catch_up(
        &self,
        client: &Client,
        tell: &mut (impl FnMut(Event) + Send),
    ) -> Result<(), Error> {
        let synced = self.sync_with(client, |progress| tell(Event::CatchingUp(*progress))).await?;
        tell(Event::CaughtUp(synced));
        Ok(())
    }

    /// Takes what is recorded from now on, as long as it joins what is held.
    async fn watch(
        &self,
        client: &Client,
        tell: &mut (impl FnMut(Event) + Send),
        heard: &mut (impl FnMut() + Send),
    ) -> Result<(), Error> {
        let mut stream = client.follow(&self.view(), self.cursor().await?);
        while let Some(next) = stream.next().await {
            match next? {
                Following::Interrupted { error, pause } => {
                    tell(Event::Interrupted { error, pause });
                }
                Following::Changes(changes) => {
                    heard();
                    match self.take_live(client, changes).await? {
                        Some((0, _)) => {}
                        Some((entries, position)) => tell(Event::Took { entries, position }),
                        None => return Ok(()),
                    }
                }
            }
        }
        Ok(())
    }

    /// Takes a stretch as it comes; nothing where it doesn't join what is held.
    async fn take_live(
        &self,
        client: &Client,
        changes: Changes,
    ) -> Result<Option<(u64, u64)>, Error> {
        let mut sync = Sync::begin(self, client, |_: &Progress| ()).await?;
        match sync.take(changes).await? {
            Taken::Anew(_) => return Ok(None),
            Taken::Held => self.contact().await?,
        }
        self.deliver(client).await?;
        Ok(Some((sync.progress.entries, sync.progress.position)))
    }
}
