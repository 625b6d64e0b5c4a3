//! The streams that are open.

use std::pin::Pin;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::task::{Context, Poll};
use std::time::{Duration, Instant};

use futures::Stream;
use tonic::Status;

use crate::status::Refusal;

/// Places for streams.
///
/// A stream is only ever asked for more while its reader takes what it got, so one that wasn't asked
/// for long has a reader that doesn't read. It costs next to nothing, but holds a place; when all are
/// taken, the one that stalled the longest gives way.
pub(crate) struct Slots {
    max: usize,
    stalled_after: Duration,
    open: Mutex<Vec<Arc<Slot>>>,
}

struct Slot {
    asked: Mutex<Instant>,
    revoked: AtomicBool,
}

impl Slots {
    pub(crate) fn new(max: usize, stalled_after: Duration) -> Arc<Self> {
        Arc::new(Self { max, stalled_after, open: Mutex::new(Vec::new()) })
    }

    /// Takes a place for a stream, for as long as it lives.
    pub(crate) fn hold<S>(self: &Arc<Self>, stream: S) -> Result<Held<S>, Refusal> {
        let slot =
            Arc::new(Slot { asked: Mutex::new(Instant::now()), revoked: AtomicBool::new(false) });
        let mut open = lock(&self.open);
        if open.len() >= self.max {
            self.give_way(&mut open)?;
        }
        open.push(Arc::clone(&slot));
        drop(open);
        Ok(Held { stream: Box::pin(stream), slot, slots: Arc::clone(self) })
    }

    fn give_way(&self, open: &mut Vec<Arc<Slot>>) -> Result<(), Refusal> {
        let stalled = open.iter().enumerate().map(|(index, slot)| (slot.idle(), index)).max();
        match stalled {
            Some((idle, index)) if idle > self.stalled_after => {
                open.swap_remove(index).revoked.store(true, Ordering::Relaxed);
                Ok(())
            }
            _ => Err(Refusal::too_many_streams(self.max)),
        }
    }

    fn leave(&self, slot: &Arc<Slot>) {
        lock(&self.open).retain(|other| !Arc::ptr_eq(other, slot));
    }
}

impl Slot {
    fn idle(&self) -> Duration {
        lock(&self.asked).elapsed()
    }
}

/// Locks what is sound whatever happened to the thread that held it last.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// A stream that holds a place.
pub(crate) struct Held<S> {
    stream: Pin<Box<S>>,
    slot: Arc<Slot>,
    slots: Arc<Slots>,
}

impl<S, T> Stream for Held<S>
where
    S: Stream<Item = Result<T, Status>>,
{
    type Item = Result<T, Status>;

    fn poll_next(self: Pin<&mut Self>, cx: &mut Context<'_>) -> Poll<Option<Self::Item>> {
        let this = self.get_mut();
        *lock(&this.slot.asked) = Instant::now();
        if this.slot.revoked.load(Ordering::Relaxed) {
            return Poll::Ready(Some(Err(Refusal::watcher_too_slow().into())));
        }
        this.stream.as_mut().poll_next(cx)
    }
}

impl<S> Drop for Held<S> {
    fn drop(&mut self) {
        self.slots.leave(&self.slot);
    }
}
