//! One attempt at the address whose turn it is.

use std::future::Future;
use std::sync::Arc;
use std::time::Duration;

use futures::stream::BoxStream;
use futures::{Stream, StreamExt, stream};
use tokio::time::timeout;
use tonic::{Response, Status};

use super::addresses::{Address, Addresses};
use super::link::Link;
use super::status;
use crate::Error;
use crate::hub::Answers;

/// The messages of a stream as they come.
type Messages<M> = BoxStream<'static, Result<M, Status>>;

/// The turn of one address. If it fails, the next one has it.
#[derive(Clone)]
pub(super) struct Turn {
    addresses: Arc<Addresses>,
    number: usize,
}

impl Turn {
    pub(super) fn of(addresses: &Arc<Addresses>) -> Self {
        Self { addresses: Arc::clone(addresses), number: addresses.turn() }
    }

    fn address(&self) -> &Address {
        self.addresses.at(self.number)
    }

    /// The connection that calls share.
    pub(super) fn channel(&self) -> Link {
        self.addresses.link(self.address().channel.clone())
    }

    /// A connection of its own, for a stream that stays: it holds up no other call.
    pub(super) fn channel_apart(&self) -> Link {
        self.addresses.connect_apart(self.number)
    }

    /// The answer to a call, if it comes in time.
    pub(super) async fn within<T>(
        &self,
        deadline: Duration,
        call: impl Future<Output = Result<Response<T>, Status>>,
    ) -> Result<T, Error> {
        match timeout(deadline, call).await {
            Ok(Ok(answer)) => Ok(answer.into_inner()),
            Ok(Err(status)) => Err(self.failed(status)),
            Err(_) => Err(self.late(deadline)),
        }
    }

    /// The answers of a stream, each within a time of its own. It ends after an error.
    pub(super) fn answers<M: Send + 'static, T: Send + 'static>(
        self,
        messages: impl Stream<Item = Result<M, Status>> + Send + 'static,
        each_within: Duration,
        read: impl Fn(M) -> Result<T, Error> + Send + 'static,
    ) -> Answers<T> {
        let start = Some((self, messages.boxed()));
        let next = move |open: Option<(Self, Messages<M>)>| async move {
            let (turn, mut messages) = open?;
            match timeout(each_within, messages.next()).await {
                Ok(None) => None,
                Ok(Some(Ok(message))) => Some((Ok(message), Some((turn, messages)))),
                Ok(Some(Err(status))) => Some((Err(turn.failed(status)), None)),
                Err(_) => Some((Err(turn.late(each_within)), None)),
            }
        };
        stream::unfold(start, next).map(move |message| message.and_then(&read)).boxed()
    }

    /// The same of a stream that the hub ends with a reason: one that just ends was cut by
    /// something between.
    pub(super) fn endless_answers<M: Send + 'static, T: Send + 'static>(
        self,
        messages: impl Stream<Item = Result<M, Status>> + Send + 'static,
        each_within: Duration,
        read: impl Fn(M) -> Result<T, Error> + Send + 'static,
    ) -> Answers<T> {
        let turn = self.clone();
        let end =
            stream::once(async move { Err(turn.noted(status::broke_off(&turn.address().name))) });
        self.answers(messages, each_within, read).chain(end).boxed()
    }

    fn failed(&self, status: Status) -> Error {
        self.noted(status::sorted(status, &self.address().name))
    }

    fn late(&self, after: Duration) -> Error {
        self.noted(status::timed_out(&self.address().name, after))
    }

    fn noted(&self, error: Error) -> Error {
        if error.may_retry() {
            self.addresses.pass_on(self.number);
        }
        error
    }
}
