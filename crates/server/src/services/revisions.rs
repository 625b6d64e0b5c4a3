//! A batch of revisions as a stream.

use std::collections::VecDeque;
use std::sync::Arc;

use chablon_exchange::ReadError;
use chablon_model::{Digest, View};
use chablon_store::StoredRevision;
use chablon_wire::pb;
use futures::{Stream, stream};
use tonic::Status;

use super::revision_to_pb;
use crate::access::Caller;
use crate::desk::Desk;
use crate::status::Refusal;

/// How many revisions are read at a time, and so held for a reader that is slow: with 1 MiB each at
/// most, no more than four.
const STEP: usize = 4;

/// Revisions on the way to a reader. They are read as the reader takes them.
pub(super) struct Revisions {
    desk: Arc<Desk>,
    caller: Caller,
    view: View,
    asked: VecDeque<Digest>,
    read: VecDeque<Result<StoredRevision, Digest>>,
}

impl Revisions {
    /// Begins to read. What refuses the whole batch is known before the stream is.
    pub(super) async fn begin(
        desk: Arc<Desk>,
        caller: Caller,
        view: View,
        digests: Vec<Digest>,
    ) -> Result<Self, Refusal> {
        let (asked, read) = (digests.into(), VecDeque::with_capacity(STEP));
        let mut revisions = Self { desk, caller, view, asked, read };
        revisions.read().await?;
        Ok(revisions)
    }

    /// The revisions, in the order asked for, to the first that can't be had.
    pub(super) fn stream(
        self,
    ) -> impl Stream<Item = Result<pb::BatchGetRevisionsResponse, Status>> + Send {
        stream::try_unfold(self, |mut this| async move {
            let next = this.next().await?;
            Ok(next.map(|revision| (revision, this)))
        })
    }

    async fn next(&mut self) -> Result<Option<pb::BatchGetRevisionsResponse>, Refusal> {
        if self.desk.stopping.is_cancelled() {
            return Err(Refusal::shutting_down());
        }
        if self.read.is_empty() {
            self.read().await?;
        }
        match self.read.pop_front() {
            None => Ok(None),
            Some(Err(digest)) => Err(ReadError::UnknownRevision(digest).into()),
            Some(Ok(revision)) => {
                let revision = Some(revision_to_pb(revision));
                Ok(Some(pb::BatchGetRevisionsResponse { revision }))
            }
        }
    }

    async fn read(&mut self) -> Result<(), Refusal> {
        self.desk.gate.still(&self.caller).await?;
        let step: Vec<Digest> = self.asked.drain(..self.asked.len().min(STEP)).collect();
        let found = self.desk.exchange.revisions(&self.view, &step).await?;
        self.read.extend(step.into_iter().zip(found).map(|(digest, found)| found.ok_or(digest)));
        Ok(())
    }
}
