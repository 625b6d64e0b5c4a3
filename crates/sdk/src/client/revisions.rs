//! Revisions by digest.

use std::collections::{HashSet, VecDeque};
use std::time::Duration;

use backon::BackoffBuilder as _;
use chablon_model::{Digest, View};
use futures::stream::BoxStream;
use futures::{StreamExt, stream};

use super::Client;
use crate::error::Kind;
use crate::hub::Answers;
use crate::{Error, FrozenRevision};

/// How many revisions are asked for in one call: as many as may be. They come some at a time.
const BATCH: usize = 1000;

impl Client {
    /// One revision, as one site or the chef may read it. What a digest names never changes.
    ///
    /// # Errors
    /// [`Error::is_not_found`].
    pub async fn revision(&self, view: &View, digest: Digest) -> Result<FrozenRevision, Error> {
        self.reading(|| self.hub.revision(view, digest)).await
    }

    /// Several revisions, each once, in the order in which they are asked for. A stream that breaks
    /// is taken up again where it broke, as the [`Options`](crate::Options) say.
    ///
    /// # Errors
    /// [`Error::is_not_found`] at the first that isn't there; what came before is good.
    pub fn revisions(
        &self,
        view: &View,
        digests: impl IntoIterator<Item = Digest>,
    ) -> BoxStream<'static, Result<FrozenRevision, Error>> {
        let mut seen = HashSet::new();
        let fetch = Fetch {
            client: self.clone(),
            view: view.clone(),
            wanted: digests.into_iter().filter(|digest| seen.insert(*digest)).collect(),
            open: None,
            pauses: Box::new(self.options.pauses().build()),
        };
        stream::try_unfold(fetch, |mut fetch| async move {
            Ok(fetch.next().await?.map(|revision| (revision, fetch)))
        })
        .boxed()
    }
}

struct Fetch {
    client: Client,
    view: View,
    /// What has not come yet, in order.
    wanted: VecDeque<Digest>,
    open: Option<Batch>,
    /// Between attempts without any progress.
    pauses: Box<dyn Iterator<Item = Duration> + Send>,
}

/// A call that is being answered.
struct Batch {
    answers: Answers<FrozenRevision>,
    /// How many are still to come.
    left: usize,
}

impl Fetch {
    async fn next(&mut self) -> Result<Option<FrozenRevision>, Error> {
        while let Some(&wanted) = self.wanted.front() {
            match self.attempt().await {
                Ok(revision) if revision.reference().digest == wanted => {
                    self.wanted.pop_front();
                    self.pauses = Box::new(self.client.options.pauses().build());
                    return Ok(Some(revision));
                }
                Ok(other) => return Err(not_asked(other.reference().digest)),
                Err(error) => self.pause_after(error).await?,
            }
        }
        Ok(None)
    }

    /// The next answer of the open call, or of a new one where that is through.
    async fn attempt(&mut self) -> Result<FrozenRevision, Error> {
        let batch = match self.open.take().filter(|batch| batch.left > 0) {
            Some(open) => open,
            None => self.batch().await?,
        };
        let batch = self.open.insert(batch);
        batch.left -= 1;
        batch.answers.next().await.unwrap_or_else(|| Err(ended_early()))
    }

    async fn batch(&mut self) -> Result<Batch, Error> {
        let digests: Vec<Digest> = self.wanted.iter().take(BATCH).copied().collect();
        let answers = self.client.hub.revisions(&self.view, &digests).await?;
        Ok(Batch { answers, left: digests.len() })
    }

    async fn pause_after(&mut self, error: Error) -> Result<(), Error> {
        self.open = None;
        match self.pauses.next() {
            Some(pause) if error.may_retry() => {
                tracing::debug!(%error, pause_ms = pause.as_millis(), "fetching on after a pause");
                tokio::time::sleep(pause).await;
                Ok(())
            }
            _ => Err(error.in_doubt(false)),
        }
    }
}

fn ended_early() -> Error {
    Error::new(Kind::Unavailable, "the hub's answer ended before all of it had come")
}

fn not_asked(digest: Digest) -> Error {
    let message = format!("the hub answered with `{digest}`, which wasn't asked for");
    Error::new(Kind::Unexpected, message)
}
