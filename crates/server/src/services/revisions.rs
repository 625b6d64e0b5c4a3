//! A batch of revisions as a stream.

use std::collections::VecDeque;
use std::sync::Arc;

use bytes::Bytes;
use chablon_exchange::ReadError;
use chablon_model::{Digest, View, Visibility};
use chablon_store::StoredRevision;
use chablon_wire::{encode_pack, pb};
use futures::{Stream, stream};
use tokio::task::spawn_blocking;
use tonic::Status;

use super::revision_to_pb;
use crate::access::Caller;
use crate::desk::Desk;
use crate::packs::{Pack, is_last, key};
use crate::status::Refusal;

/// How many revisions are read at a time at first, and so held for a reader that is slow: with
/// 1 MiB each at most, no more than four.
const STEP: usize = 4;

/// How many small ones are read at a time at most.
const MAX_STEP: usize = 128;

/// How many bytes are packed into an answer: enough that it compresses well, and well below what a
/// message may have.
const PACK_BYTES: usize = 256 << 10;

/// How revisions come.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Form {
    /// One an answer.
    Single,
    /// Some an answer.
    Packed,
    /// Some an answer, which are compressed in it.
    Compressed,
}

impl Form {
    pub(super) fn of(request: &pb::BatchGetRevisionsRequest) -> Self {
        match (request.packed, request.compressed) {
            (false, _) => Self::Single,
            (true, false) => Self::Packed,
            (true, true) => Self::Compressed,
        }
    }
}

/// Revisions on the way to a reader. They are read as the reader takes them.
pub(super) struct Revisions {
    desk: Arc<Desk>,
    caller: Caller,
    view: View,
    form: Form,
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
        form: Form,
    ) -> Result<Self, Refusal> {
        let (asked, read) = (digests.into(), VecDeque::with_capacity(STEP));
        let mut revisions = Self { desk, caller, view, form, asked, read, step: STEP };
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
        let mut answer = pb::BatchGetRevisionsResponse::default();
        match self.form {
            Form::Compressed => match self.compressed().await? {
                Some(pack) => answer.zstd = pack,
                None => return Ok(None),
            },
            Form::Single => match self.one().await? {
                Some(one) => answer.revision = Some(revision_to_pb(one)),
                None => return Ok(None),
            },
            Form::Packed => match self.pack().await? {
                some if some.is_empty() => return Ok(None),
                some => answer.packed = some.into_iter().map(revision_to_pb).collect(),
            },
        }
        Ok(Some(answer))
    }

    /// The next pack: the one at hand, or a new one, which is then kept for the next who asks.
    async fn compressed(&mut self) -> Result<Option<Bytes>, Refusal> {
        let key = key(self.ahead());
        if let Some(pack) = self.desk.packs.get(&key) {
            self.desk.gate.still(&self.caller).await?;
            self.pass(pack.revisions);
            return Ok(Some(pack.frame));
        }
        let some = self.pack().await?;
        if some.is_empty() {
            return Ok(None);
        }
        let revisions = some.len();
        let for_all = some.iter().all(|one| one.visible_to == Visibility::Everyone);
        let forms: Vec<_> = some.into_iter().map(revision_to_pb).collect();
        let frame = spawn_blocking(move || encode_pack(forms)).await;
        let frame = frame.expect("compressing doesn't panic and isn't cancelled");
        if for_all {
            self.desk.packs.insert(key, Pack { revisions, frame: frame.clone() });
        }
        Ok(Some(frame))
    }

    /// What is still to come.
    fn ahead(&self) -> impl Iterator<Item = Digest> {
        let read = self.read.iter().map(|one| match one {
            Ok(revision) => revision.reference.digest,
            Err(digest) => *digest,
        });
        read.chain(self.asked.iter().copied())
    }

    /// Passes over so many that came otherwise.
    fn pass(&mut self, count: usize) {
        let read = count.min(self.read.len());
        self.read.drain(..read);
        self.asked.drain(..count - read);
    }

    /// The next revision and those after it that fit in beside it; none at the end. What can't be had
    /// waits for its turn.
    async fn pack(&mut self) -> Result<Vec<StoredRevision>, Refusal> {
        let Some(first) = self.one().await? else {
            return Ok(Vec::new());
        };
        let (mut bytes, mut pack) = (first.bytes.len(), vec![first]);
        while !self.is_full(&pack)
            && let Some(Ok(next)) = self.peek().await?
        {
            bytes += next.bytes.len();
            if bytes > PACK_BYTES {
                break;
            }
            pack.extend(self.one().await?);
        }
        Ok(pack)
    }

    /// Whether a pack ends here whatever comes next.
    fn is_full(&self, pack: &[StoredRevision]) -> bool {
        let digests = pack.iter().map(|one| &one.reference.digest);
        self.form == Form::Compressed && is_last(digests)
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
