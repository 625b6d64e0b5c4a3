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

/// How many revisions are read at a time at first, and so held for a reader that is slow: with
/// 1 MiB each at most, no more than four.
const STEP: usize = 4;

/// How many small ones are read at a time at most.
const MAX_STEP: usize = 128;

/// How many bytes are packed into an answer: enough that it compresses well, and well below what a
/// message may have.
const PACK_BYTES: usize = 256 << 10;

/// Revisions on the way to a reader. They are read as the reader takes them.
pub(super) struct Revisions {
    desk: Arc<Desk>,
    caller: Caller,
    view: View,
    packed: bool,
    asked: VecDeque<Digest>,
    read: VecDeque<Result<StoredRevision, Digest>>,
    /// How many to read the next time, by how large those before were.
    step: usize,
}

impl Revisions {
    /// Begins to read. What refuses the whole batch is known before the stream is.
    pub(super) async fn begin(
        desk: Arc<Desk>,
        caller: Caller,
        view: View,
        digests: Vec<Digest>,
        packed: bool,
    ) -> Result<Self, Refusal> {
        let (asked, read) = (digests.into(), VecDeque::with_capacity(STEP));
        let mut revisions = Self { desk, caller, view, packed, asked, read, step: STEP };
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
        let Some(first) = self.one().await? else {
            return Ok(None);
        };
        if !self.packed {
            let revision = Some(revision_to_pb(first));
            return Ok(Some(pb::BatchGetRevisionsResponse { revision, packed: Vec::new() }));
        }
        let packed = self.pack(first).await?;
        Ok(Some(pb::BatchGetRevisionsResponse { revision: None, packed }))
    }

    /// A revision and those after it that fit in beside it. What can't be had waits for its turn.
    async fn pack(&mut self, first: StoredRevision) -> Result<Vec<pb::StoredRevision>, Refusal> {
        let mut bytes = first.bytes.len();
        let mut packed = vec![revision_to_pb(first)];
        while let Some(Ok(next)) = self.peek().await? {
            bytes += next.bytes.len();
            if bytes > PACK_BYTES {
                break;
            }
            packed.extend(self.one().await?.map(revision_to_pb));
        }
        Ok(packed)
    }

    async fn one(&mut self) -> Result<Option<StoredRevision>, Refusal> {
        self.peek().await?;
        let next = self.read.pop_front().transpose();
        next.map_err(|digest| ReadError::UnknownRevision(digest).into())
    }

    async fn peek(&mut self) -> Result<Option<&Result<StoredRevision, Digest>>, Refusal> {
        if self.read.is_empty() {
            self.read().await?;
        }
        Ok(self.read.front())
    }

    async fn read(&mut self) -> Result<(), Refusal> {
        self.desk.gate.still(&self.caller).await?;
        let step: Vec<Digest> = self.asked.drain(..self.asked.len().min(self.step)).collect();
        let found = self.desk.exchange.revisions(&self.view, &step).await?;
        self.step = next_step(found.iter().flatten().map(|one| one.bytes.len()));
        self.read.extend(step.into_iter().zip(found).map(|(digest, found)| found.ok_or(digest)));
        Ok(())
    }
}

/// How many to read after these: as many of their size as an answer holds.
fn next_step(sizes: impl Iterator<Item = usize>) -> usize {
    let (count, bytes) = sizes.fold((0, 0), |(count, bytes), size| (count + 1, bytes + size));
    (PACK_BYTES * count).checked_div(bytes).unwrap_or(STEP).clamp(STEP, MAX_STEP)
}
