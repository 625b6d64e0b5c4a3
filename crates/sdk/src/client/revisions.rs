//! Revisions by digest.

use std::collections::VecDeque;

use backon::BackoffBuilder as _;
use chablon_model::{Digest, View};
use futures::stream::BoxStream;
use futures::{StreamExt, stream};

use super::Client;
use crate::error::Kind;
use crate::hub::Answers;
use crate::{Error, FrozenRevision};

/// How many revisions are asked for in one call: enough that the round trip doesn't count, few
/// enough that a call is over soon.
const BATCH: usize = 200;

impl Client {
    /// One revision, as one site or the chef may read it. What a digest names never changes.
    ///
    /// # Errors
    /// [`Error::is_not_found`].
    pub async fn revision(&self, view: &View, digest: Digest) -> Result<FrozenRevision, Error> {
        self.reading(|| self.hub.revision(view, digest)).await
    }

    /// Several revisions, in the order in which they are asked for. A stream that breaks is taken
    /// up again where it broke, as the [`Options`](crate::Options) say.
    ///
    /// # Errors
    /// [`Error::is_not_found`] at the first that isn't there; what came before is good.
    pub fn revisions(
        &self,
        view: &View,
        digests: impl IntoIterator<Item = Digest>,
    ) -> BoxStream<'static, Result<FrozenRevision, Error>> {
        let fetch = Fetch {
            client: self.clone(),
            view: view.clone(),
            wanted: digests.into_iter().collect(),
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
    open: Option<Answers<FrozenRevision>>,
    /// Between attempts without any progress.
    pauses: Box<dyn Iterator<Item = std::time::Duration> + Send>,
}

impl Fetch {
    async fn next(&mut self) -> Result<Option<FrozenRevision>, Error> {
        while let Some(&wanted) = self.wanted.front() {
            match self.attempt().await {
                Ok(Some(revision)) if revision.reference().digest == wanted => {
                    self.wanted.pop_front();
                    self.pauses = Box::new(self.client.options.pauses().build());
                    return Ok(Some(revision));
                }
                Ok(Some(other)) => return Err(not_asked(other.reference().digest)),
                // The batch is through; the next one begins with what is still wanted.
                Ok(None) => self.open = None,
                Err(error) => self.pause_after(error).await?,
            }
        }
        Ok(None)
    }

    /// The next answer of the open call, or of a new one.
    async fn attempt(&mut self) -> Result<Option<FrozenRevision>, Error> {
        if self.open.is_none() {
            let batch: Vec<Digest> = self.wanted.iter().take(BATCH).copied().collect();
            self.open = Some(self.client.hub.revisions(&self.view, &batch).await?);
        }
        match &mut self.open {
            Some(open) => open.next().await.transpose(),
            None => Ok(None),
        }
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

fn not_asked(digest: Digest) -> Error {
    Error::new(
        Kind::Unexpected,
        format!("the hub answered with `{digest}`, which wasn't asked for"),
    )
}
