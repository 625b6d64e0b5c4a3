//! A hub, as its clients see it.

use std::fmt;
use std::future::Future;
use std::sync::Arc;

use chablon_model::{DocumentContent, View};
use futures::{StreamExt, TryStreamExt};

mod access;
mod adopted;
mod deviations;
mod drafts;
mod feed;
mod figures;
mod leaving;
mod lists;
mod lots;
mod reach;
mod revisions;
mod trust;
mod where_used;

pub use adopted::{Adopted, GoesBy, HowFar};
pub use feed::Following;
pub use leaving::{InForceAgain, Untold};

use crate::hub::HubApi;
use crate::publish::{Draft, Heads, Names, Taking, Terms, WithdrawalDraft};
use crate::transport::Grpc;
use crate::transport::dial::Dial;
use crate::{Error, FeedHead, Options, Recorded, retry};

/// A hub at one or several addresses.
///
/// It is cheap to clone, and clones share their connections. Every call follows the
/// [`Options`]: it has a deadline, is tried again at the next address where that can help, and
/// gives up with an error that says what is known.
#[derive(Clone)]
pub struct Client {
    hub: Arc<dyn HubApi>,
    options: Options,
}

impl fmt::Debug for Client {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Client").field("options", &self.options).finish_non_exhaustive()
    }
}

impl Client {
    /// Takes the addresses of a hub, such as `http://hub.example:7467`. Nothing is sent yet, so the
    /// hub need not be there.
    ///
    /// Several addresses are used one at a time: the first until it fails, then the next.
    ///
    /// # Errors
    /// [`Error::is_invalid`] where there is no address, or one isn't one.
    pub fn connect(
        addresses: impl IntoIterator<Item = impl Into<String>>,
        options: Options,
    ) -> Result<Self, Error> {
        Self::over(addresses, options, Dial::default())
    }

    /// The same, over connections that are made so.
    pub(crate) fn over(
        addresses: impl IntoIterator<Item = impl Into<String>>,
        options: Options,
        dial: Dial,
    ) -> Result<Self, Error> {
        let hub = Grpc::new(addresses.into_iter().map(Into::into), &options, dial)?;
        Ok(Self { hub: Arc::new(hub), options })
    }

    /// How it behaves.
    pub fn options(&self) -> &Options {
        &self.options
    }

    /// Makes a release of documents ready: asks for the latest revisions and compares.
    ///
    /// # Errors
    /// As [`Draft::new`], and what stands between here and the hub.
    pub async fn draft(
        &self,
        documents: &[DocumentContent],
        terms: &Terms,
    ) -> Result<Draft, Error> {
        let latest: Vec<_> = self.documents(&View::Whole).try_collect().await?;
        let mut heads = Heads::new(latest);
        let wanted = heads.to_read(documents)?.into_iter().map(|head| head.digest);
        let mut revisions = self.revisions(&View::Whole, wanted);
        while let Some(frozen) = revisions.next().await {
            heads.add(&frozen?)?;
        }
        Draft::new(documents, &heads, terms, Names::random())
    }

    /// Sends a release: all of it is recorded, or none.
    ///
    /// # Errors
    /// [`Error::is_conflict`] where somebody else released first: make the draft anew.
    /// [`Error::outcome_unknown`] where it may have been recorded: send the same draft again.
    pub async fn release(&self, draft: &Draft) -> Result<Recorded, Error> {
        if draft.is_empty() {
            let message = "nothing has changed, so there is nothing to release";
            return Err(Error::new(crate::error::Kind::Invalid, message));
        }
        let request = draft.to_request();
        retry::changing(&self.options, || self.hub.release(&request)).await
    }

    /// Makes a withdrawal ready: looks up the revisions that it names.
    ///
    /// # Errors
    /// As [`WithdrawalDraft::new`], and what stands between here and the hub.
    pub async fn draft_withdrawal(&self, taking: Taking) -> Result<WithdrawalDraft, Error> {
        let entries = self.whole_feed().await?;
        WithdrawalDraft::new(taking, &entries, WithdrawalDraft::random_request())
    }

    /// Sends a withdrawal.
    ///
    /// # Errors
    /// [`Error::outcome_unknown`] where it may have been recorded: send the same draft again.
    pub async fn withdraw(&self, draft: &WithdrawalDraft) -> Result<Recorded, Error> {
        let request = draft.to_request();
        retry::changing(&self.options, || self.hub.withdraw(&request)).await
    }

    /// Where the feed stands, for one site or for all of it.
    pub async fn head(&self, view: &View) -> Result<FeedHead, Error> {
        self.reading(|| self.hub.head(view)).await
    }

    /// Repeats a call that changes nothing.
    async fn reading<T, F>(&self, call: impl FnMut() -> F) -> Result<T, Error>
    where
        F: Future<Output = Result<T, Error>>,
    {
        retry::reading(&self.options, call).await
    }
}
