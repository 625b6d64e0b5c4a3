//! Following the feed.

use std::time::Duration;

use backon::BackoffBuilder as _;
use chablon_model::View;
use chablon_wire::FeedCursor;
use futures::stream::BoxStream;
use futures::{StreamExt, TryStreamExt, stream};

use super::Client;
use crate::error::Kind;
use crate::hub::Answers;
use crate::{Changes, Error, retry};

/// What a reader that follows the feed gets.
#[derive(Debug)]
#[non_exhaustive]
pub enum Following {
    /// What came. Without entries it is a sign of life: all up to its cursor is known.
    Changes(Changes),
    /// The hub is out of reach. It is tried again, for ever.
    Interrupted {
        /// Why.
        error: Error,
        /// After which pause the next attempt is made.
        pause: Duration,
    },
}

impl Client {
    /// What a site's view, or the whole feed, holds after a cursor, up to its end as it is then.
    ///
    /// # Errors
    /// A [precondition](Error::is_precondition) with [`Reason::WrongEpoch`],
    /// [`Reason::ViewChanged`], [`Reason::FuturePosition`] or [`Reason::HistoryCompacted`]: read
    /// again without a cursor. It may come on any page, for the hub may be compacted or restored
    /// meanwhile; [`Client::all_changes`] begins again by itself.
    ///
    /// [`Reason::HistoryCompacted`]: crate::Reason::HistoryCompacted
    /// [`Reason::WrongEpoch`]: crate::Reason::WrongEpoch
    /// [`Reason::ViewChanged`]: crate::Reason::ViewChanged
    /// [`Reason::FuturePosition`]: crate::Reason::FuturePosition
    pub fn changes(
        &self,
        view: &View,
        after: Option<FeedCursor>,
    ) -> BoxStream<'static, Result<Changes, Error>> {
        let (client, view) = (self.clone(), view.clone());
        stream::try_unfold(Some(after), move |state| {
            let (client, view) = (client.clone(), view.clone());
            async move {
                let Some(after) = state else { return Ok(None) };
                let changes = client.changes_once(&view, after.as_ref()).await?;
                let next = changes.more.then(|| Some(changes.next.clone()));
                Ok(Some((changes, next)))
            }
        })
        .boxed()
    }

    /// All that a site's view, or the whole feed, holds, in one stretch. Where the view changes
    /// while it is read, it is listed again from its beginning, a few times at most.
    ///
    /// # Errors
    /// As [`Client::changes`], where the view never stayed as it was for long enough.
    pub async fn all_changes(&self, view: &View) -> Result<Changes, Error> {
        retry::listing(|| self.list(view)).await
    }

    /// A view from its beginning to its end.
    async fn list(&self, view: &View) -> Result<Changes, Error> {
        let mut pages = self.changes(view, None);
        let (mut entries, mut last) = (Vec::new(), None);
        while let Some(mut page) = pages.try_next().await? {
            entries.append(&mut page.entries);
            last = Some(page);
        }
        let nothing = || Error::new(Kind::Unexpected, "the hub listed nothing, not even an end");
        Ok(Changes { entries, ..last.ok_or_else(nothing)? })
    }

    /// One page of what comes after a cursor.
    pub(crate) async fn changes_once(
        &self,
        view: &View,
        after: Option<&FeedCursor>,
    ) -> Result<Changes, Error> {
        let limit = self.options.page_size;
        self.reading(|| self.hub.changes(view, after, limit)).await
    }

    /// The same, and whatever is recorded from then on, without an end.
    ///
    /// Where the stream breaks it resumes by itself from the last cursor, at the next address in
    /// turn, and says so in between.
    ///
    /// # Errors
    /// As [`Client::changes`]; it ends after an error.
    pub fn follow(
        &self,
        view: &View,
        after: Option<FeedCursor>,
    ) -> BoxStream<'static, Result<Following, Error>> {
        let follower = Follower {
            client: self.clone(),
            view: view.clone(),
            cursor: after,
            open: None,
            pause: None,
            pauses: self.endless_pauses(),
        };
        stream::try_unfold(follower, |mut follower| async move {
            follower.next().await.map(|next| Some((next, follower)))
        })
        .boxed()
    }

    fn endless_pauses(&self) -> Pauses {
        Box::new(self.options.endless_pauses().build())
    }
}

type Pauses = Box<dyn Iterator<Item = Duration> + Send>;

struct Follower {
    client: Client,
    view: View,
    cursor: Option<FeedCursor>,
    open: Option<Answers<Changes>>,
    /// To be kept before the next attempt.
    pause: Option<Duration>,
    pauses: Pauses,
}

impl Follower {
    async fn next(&mut self) -> Result<Following, Error> {
        if let Some(pause) = self.pause.take() {
            tokio::time::sleep(pause).await;
        }
        match self.attempt().await {
            Ok(changes) => {
                self.cursor = Some(changes.next.clone());
                self.pauses = self.client.endless_pauses();
                Ok(Following::Changes(changes))
            }
            Err(error) if error.may_retry() => {
                self.open = None;
                let pause = self.pauses.next().unwrap_or(self.client.options.longest_pause);
                self.pause = Some(pause);
                Ok(Following::Interrupted { error: error.in_doubt(false), pause })
            }
            Err(error) => Err(error),
        }
    }

    async fn attempt(&mut self) -> Result<Changes, Error> {
        loop {
            let open = match &mut self.open {
                Some(open) => open,
                None => {
                    self.open.insert(self.client.hub.watch(&self.view, self.cursor.as_ref()).await?)
                }
            };
            match open.next().await {
                Some(answer) => return answer,
                None => self.open = None,
            }
        }
    }
}
