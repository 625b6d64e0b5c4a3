//! From where a replica catches up: a hub, or what a hub had written into a bundle.

use async_trait::async_trait;
use chablon_model::{Digest, View};
use chablon_wire::FeedCursor;
use futures::stream::BoxStream;

use crate::hub::Roots;
use crate::{Changes, Client, Error, FrozenRevision};

/// From where a replica catches up.
#[async_trait]
pub(crate) trait Source: Send + Sync {
    /// The last position.
    async fn head(&self, view: &View) -> Result<u64, Error>;
    /// A page of what comes after a cursor.
    async fn page(&self, view: &View, after: Option<&FeedCursor>) -> Result<Changes, Error>;
    /// Revisions, in the order asked for.
    fn revisions(
        &self,
        view: &View,
        digests: Vec<Digest>,
    ) -> BoxStream<'static, Result<FrozenRevision, Error>>;
    /// Some versions of the root of trust after one.
    async fn roots(&self, after: u32) -> Result<Roots, Error>;
}

#[async_trait]
impl Source for Client {
    async fn head(&self, view: &View) -> Result<u64, Error> {
        Ok(Client::head(self, view).await?.cursor.position)
    }

    async fn page(&self, view: &View, after: Option<&FeedCursor>) -> Result<Changes, Error> {
        self.changes_once(view, after).await
    }

    fn revisions(
        &self,
        view: &View,
        digests: Vec<Digest>,
    ) -> BoxStream<'static, Result<FrozenRevision, Error>> {
        Client::revisions(self, view, digests)
    }

    async fn roots(&self, after: u32) -> Result<Roots, Error> {
        self.roots_after(after).await
    }
}
