//! The calls over gRPC. Only here the SDK names what the schema generates.

use std::future::Future;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Duration;

use async_trait::async_trait;
use chablon_model::{Day, Digest, DocumentKey, DocumentKind, Moment, RevisionRef, SiteId, View};
use chablon_wire::{Acknowledgement, Adoption, FeedCursor, Standard, Violation};
use futures::{Stream, StreamExt, stream};
use tonic::transport::{Channel, Endpoint};
use tonic::{Request, Response, Status};

mod adoption;
mod documents;
mod feed;
mod figures;
mod pins;
mod releases;
mod status;

pub(crate) use pins::pins_of_unsupported;

use crate::error::Kind;
use crate::figures::{Costing, Plan};
use crate::hub::{AdoptionOf, Answers, FigureOf, HubApi, Page, StandardsOf};
use crate::publish::{ReleaseRequest, WithdrawalRequest};
use crate::{Changes, Error, FeedHead, FrozenRevision, Options, Recorded, Release};

/// The longest answer that is taken, in bytes. A page has some megabytes at most; a release that
/// must not be split may come on top.
const MAX_ANSWER_BYTES: usize = 16 << 20;

/// A hub at one or several addresses.
#[derive(Clone)]
pub(crate) struct Grpc {
    addresses: Arc<Addresses>,
    options: Options,
}

/// The addresses, of which one is in use until it fails.
struct Addresses {
    all: Vec<Address>,
    /// The number of failures so far: it names the address whose turn it is.
    turn: AtomicUsize,
}

struct Address {
    endpoint: Endpoint,
    channel: Channel,
    name: String,
}

impl Addresses {
    fn current(&self) -> (usize, &Address) {
        let turn = self.turn.load(Ordering::Relaxed);
        (turn, &self.all[turn % self.all.len()])
    }

    /// Gives the turn to the next address, once for all calls that failed at this one.
    fn pass_on(&self, turn: usize) {
        let next = turn.wrapping_add(1);
        let _already_passed =
            self.turn.compare_exchange(turn, next, Ordering::Relaxed, Ordering::Relaxed);
    }
}

impl Grpc {
    /// Takes addresses, and connects to none of them yet.
    pub(crate) fn new(
        addresses: impl IntoIterator<Item = String>,
        options: &Options,
    ) -> Result<Self, Error> {
        let all: Vec<Address> =
            addresses.into_iter().map(|name| address(name, options)).collect::<Result<_, _>>()?;
        if all.is_empty() {
            return Err(Error::new(
                Kind::Invalid,
                "no address of a hub is given; give at least one",
            ));
        }
        let addresses = Arc::new(Addresses { all, turn: AtomicUsize::new(0) });
        Ok(Self { addresses, options: options.clone() })
    }

    /// A message with the deadline, which tells the hub as well when to give up.
    fn request<M>(&self, message: M) -> Request<M> {
        let mut request = Request::new(message);
        request.set_timeout(self.options.deadline);
        request
    }

    /// One attempt, at the address whose turn it is.
    async fn attempt<T, F>(&self, call: impl FnOnce(Channel) -> F) -> Result<T, Error>
    where
        F: Future<Output = Result<Response<T>, Status>>,
    {
        let (turn, address) = self.addresses.current();
        self.within(turn, address, call(address.channel.clone())).await
    }

    /// One attempt on a connection of its own, so that a long stream holds up no other call.
    async fn attempt_apart<T, F>(&self, call: impl FnOnce(Channel) -> F) -> Result<T, Error>
    where
        F: Future<Output = Result<Response<T>, Status>>,
    {
        let (turn, address) = self.addresses.current();
        self.within(turn, address, call(address.endpoint.connect_lazy())).await
    }

    async fn within<T>(
        &self,
        turn: usize,
        address: &Address,
        call: impl Future<Output = Result<Response<T>, Status>>,
    ) -> Result<T, Error> {
        let deadline = self.options.deadline;
        let error = match tokio::time::timeout(deadline, call).await {
            Ok(Ok(answer)) => return Ok(answer.into_inner()),
            Ok(Err(status)) => status::sorted(status, &address.name),
            Err(_) => status::timed_out(&address.name, deadline),
        };
        if error.may_retry() {
            self.addresses.pass_on(turn);
        }
        Err(error)
    }

    /// The answers of a stream, each within a time of its own. It ends after an error.
    fn answers<M: Send + 'static, T: Send + 'static>(
        &self,
        messages: impl Stream<Item = Result<M, Status>> + Send + 'static,
        each_within: Duration,
        read: impl Fn(M) -> Result<T, Error> + Send + 'static,
    ) -> Answers<T> {
        let (turn, address) = self.addresses.current();
        let (addresses, name) = (Arc::clone(&self.addresses), address.name.clone());
        let next = move |messages| {
            let (addresses, name) = (Arc::clone(&addresses), name.clone());
            async move {
                let mut messages = messages?;
                let item = match tokio::time::timeout(each_within, next_of(&mut messages)).await {
                    Ok(None) => return None,
                    Ok(Some(Ok(message))) => return Some((Ok(message), Some(messages))),
                    Ok(Some(Err(status))) => status::sorted(status, &name),
                    Err(_) => status::timed_out(&name, each_within),
                };
                if item.may_retry() {
                    addresses.pass_on(turn);
                }
                Some((Err(item), None))
            }
        };
        let messages = Some(messages.boxed());
        stream::unfold(messages, next).map(move |message| message.and_then(&read)).boxed()
    }
}

async fn next_of<S: Stream + Unpin>(stream: &mut S) -> Option<S::Item> {
    stream.next().await
}

fn address(name: String, options: &Options) -> Result<Address, Error> {
    let malformed = |why: String| {
        let hint = "an address has a host and a port, such as `http://hub.example:7467`";
        Error::new(Kind::Invalid, format!("`{name}` is not the address of a hub: {why}; {hint}"))
    };
    let url = if name.contains("://") { name.clone() } else { format!("http://{name}") };
    let endpoint =
        Endpoint::from_shared(url.clone()).map_err(|error| malformed(error.to_string()))?;
    if endpoint.uri().scheme_str() != Some("http") {
        return Err(malformed("only `http` is spoken".to_owned()));
    }
    let endpoint = endpoint
        .connect_timeout(options.connect_timeout)
        .http2_keep_alive_interval(options.keepalive)
        .keep_alive_timeout(options.keepalive_timeout)
        .keep_alive_while_idle(true);
    Ok(Address { channel: endpoint.connect_lazy(), endpoint, name: url })
}

/// What the schema calls a view: the site's id, or nothing for all of it.
fn reader(view: &View) -> String {
    match view {
        View::Whole => String::new(),
        View::Site(site) => site.to_string(),
    }
}

/// Every item of a list, or the first that breaks the contract.
fn each<P, T>(items: Vec<P>, read: impl Fn(P) -> Result<T, Violation>) -> Result<Vec<T>, Error> {
    let items: Result<Vec<T>, Violation> = items.into_iter().map(read).collect();
    items.map_err(|violation| Error::of_answer(&violation))
}

/// A field that every answer has.
fn given<P>(field: Option<P>, name: &str) -> Result<P, Error> {
    field.ok_or_else(|| {
        Error::new(
            Kind::Unexpected,
            format!("the hub's answer breaks the contract: it has no `{name}`"),
        )
    })
}

#[async_trait]
impl HubApi for Grpc {
    async fn documents(
        &self,
        view: &View,
        kind: Option<DocumentKind>,
        page: &str,
    ) -> Result<Page<RevisionRef>, Error> {
        documents::list(self, view, kind, page).await
    }
    async fn revision(&self, view: &View, digest: Digest) -> Result<FrozenRevision, Error> {
        documents::revision(self, view, digest).await
    }
    async fn revisions(
        &self,
        view: &View,
        digests: &[Digest],
    ) -> Result<Answers<FrozenRevision>, Error> {
        documents::revisions(self, view, digests).await
    }
    async fn standard(
        &self,
        site: &SiteId,
        key: &DocumentKey,
        at: Option<Moment>,
    ) -> Result<Standard, Error> {
        documents::standard(self, site, key, at).await
    }
    async fn standards(&self, of: &StandardsOf, page: &str) -> Result<Page<Standard>, Error> {
        documents::standards(self, of, page).await
    }
    async fn release(&self, request: &ReleaseRequest) -> Result<Recorded, Error> {
        releases::release(self, request).await
    }
    async fn withdraw(&self, request: &WithdrawalRequest) -> Result<Recorded, Error> {
        releases::withdraw(self, request).await
    }
    async fn releases(&self, view: &View, page: &str) -> Result<Page<Release>, Error> {
        releases::list(self, view, page).await
    }
    async fn head(&self, view: &View) -> Result<FeedHead, Error> {
        feed::head(self, view).await
    }
    async fn changes(
        &self,
        view: &View,
        after: Option<&FeedCursor>,
        limit: u32,
    ) -> Result<Changes, Error> {
        feed::changes(self, view, after, limit).await
    }
    async fn watch(
        &self,
        view: &View,
        after: Option<&FeedCursor>,
    ) -> Result<Answers<Changes>, Error> {
        feed::watch(self, view, after).await
    }
    async fn acknowledge(&self, said: &[Acknowledgement]) -> Result<(), Error> {
        adoption::acknowledge(self, said).await
    }
    async fn adoption(&self, of: &AdoptionOf, page: &str) -> Result<Page<Adoption>, Error> {
        adoption::list(self, of, page).await
    }
    async fn scale(&self, of: &FigureOf) -> Result<Plan, Error> {
        figures::scale(self, of).await
    }
    async fn cost(&self, of: &FigureOf, on: Day) -> Result<Costing, Error> {
        figures::cost(self, of, on).await
    }
}
