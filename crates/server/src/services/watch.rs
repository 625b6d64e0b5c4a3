//! A watch on the feed.
//!
//! A watch is a cursor and no queue: what it sends it reads when its reader takes it, so a reader
//! that is slow, or doesn't read at all, holds no more than one answer. What is new is read once for
//! all watches, which share its bytes. The store's hint wakes them; since a hint may be lost, each
//! looks every few seconds regardless.

use std::sync::Arc;

use chablon_exchange::{Changes, Reader};
use chablon_model::View;
use chablon_wire::{FeedCursor, Wire, pb};
use futures::{Stream, stream};
use tokio::sync::watch;
use tokio::time::Instant;
use tonic::Status;
use tracing::Span;

use super::{entries_to_pb, to_wire};
use crate::access::Caller;
use crate::desk::Desk;
use crate::status::Refusal;

/// A reader that is told of entries as they are recorded.
pub(super) struct Watch {
    desk: Arc<Desk>,
    /// Asked for again before each answer: a watch has no end, and a right to it may have.
    caller: Caller,
    reader: Reader,
    /// Read already, and not sent yet.
    read: Option<Changes>,
    /// Wakes when something was committed.
    news: watch::Receiver<u64>,
    /// When the reader is to hear something at the latest. None: as soon as it has all there is.
    bookmark_due: Option<Instant>,
    span: Span,
    sent: u64,
}

impl Watch {
    /// Begins after a cursor. A cursor that is refused is known before the stream is.
    pub(super) async fn begin(
        desk: Arc<Desk>,
        caller: Caller,
        view: View,
        after: FeedCursor,
    ) -> Result<Self, Refusal> {
        let news = desk.exchange.subscribe();
        let mut reader = Reader::new(view, after);
        let heard = *news.borrow();
        let changes = desk.exchange.read_on(&mut reader, heard).await?;
        let (span, read) = (Span::current(), Some(changes));
        Ok(Self { desk, caller, reader, read, news, bookmark_due: None, span, sent: 0 })
    }

    /// The answers. The stream has no end but an error.
    pub(super) fn stream(
        self,
    ) -> impl Stream<Item = Result<pb::WatchChangesResponse, Status>> + Send {
        stream::try_unfold(self, |mut this| async move {
            let answer = this.next().await?;
            Ok(Some((answer, this)))
        })
    }

    async fn next(&mut self) -> Result<pb::WatchChangesResponse, Refusal> {
        loop {
            if self.desk.stopping.is_cancelled() {
                return Err(Refusal::shutting_down());
            }
            self.desk.gate.still(&self.caller).await?;
            let changes = self.changes().await?;
            if !changes.entries.is_empty() {
                return self.answer(changes).await;
            }
            if self.bookmark_due.is_none_or(|due| due <= Instant::now()) {
                self.bookmark_due = Some(Instant::now() + self.desk.config.bookmark_every);
                return self.answer(changes).await;
            }
            self.wait().await;
        }
    }

    async fn changes(&mut self) -> Result<Changes, Refusal> {
        if let Some(read) = self.read.take() {
            return Ok(read);
        }
        // Marked before reading: what is committed meanwhile wakes the next wait at once.
        let heard = *self.news.borrow_and_update();
        Ok(self.desk.exchange.read_on(&mut self.reader, heard).await?)
    }

    async fn answer(&mut self, changes: Changes) -> Result<pb::WatchChangesResponse, Refusal> {
        let now = self.desk.clock.now();
        // A reader who follows isn't told whether there is more, and compares the state each time.
        let changes = Changes { more: false, ..changes };
        let checkpoint = self.desk.exchange.vouch(self.reader.view(), &changes, now).await?;
        self.sent += changes.entries.len() as u64;
        Ok(pb::WatchChangesResponse {
            entries: entries_to_pb(changes.entries),
            next: Some(changes.next.to_pb()),
            checkpoint: checkpoint.map(|one| to_wire(one).to_pb()),
        })
    }

    /// Waits until there may be something to say.
    async fn wait(&mut self) {
        let look = Instant::now() + self.desk.config.poll_every;
        let look = self.bookmark_due.map_or(look, |due| due.min(look));
        tokio::select! {
            () = self.desk.stopping.cancelled() => {}
            () = tokio::time::sleep_until(look) => {}
            // Without its sender the hint never comes; the other branches still do.
            Ok(()) = self.news.changed() => {}
        }
    }
}

impl Drop for Watch {
    fn drop(&mut self) {
        let (sent, position) = (self.sent, self.reader.cursor().position);
        tracing::info!(parent: &self.span, sent, position, "watch ended");
    }
}
