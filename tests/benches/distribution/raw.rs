//! A bare service over the same transport: it sends what it was given and reads nothing.

use std::net::{Ipv4Addr, SocketAddr};

use chablon_wire::pb;
use chablon_wire::pb::feed_service_client::FeedServiceClient;
use chablon_wire::pb::feed_service_server::{FeedService, FeedServiceServer};
use futures::StreamExt as _;
use futures::stream::{self, BoxStream};
use tokio::net::TcpListener;
use tokio::sync::broadcast;
use tokio::task::JoinHandle;
use tonic::transport::{Channel, Endpoint, Server, server::TcpIncoming};
use tonic::{Request, Response, Status, async_trait};

/// What it sends.
#[derive(Clone)]
pub(crate) struct Raw {
    /// To each listing.
    pub(crate) answer: pb::ListChangesResponse,
    /// To each watch, before what is told while it is open.
    pub(crate) stream: Vec<pb::WatchChangesResponse>,
    /// What is told to all watches.
    pub(crate) live: broadcast::Sender<pb::WatchChangesResponse>,
}

/// It, serving until it is dropped.
pub(crate) struct Serving {
    address: SocketAddr,
    task: JoinHandle<()>,
}

impl Drop for Serving {
    fn drop(&mut self) {
        self.task.abort();
    }
}

impl Serving {
    /// A connection of its own.
    pub(crate) async fn client(&self) -> FeedServiceClient<Channel> {
        let endpoint =
            Endpoint::from_shared(format!("http://{}", self.address)).expect("an address");
        FeedServiceClient::new(endpoint.connect().await.expect("it serves"))
    }
}

impl Raw {
    pub(crate) fn new(
        answer: pb::ListChangesResponse,
        stream: Vec<pb::WatchChangesResponse>,
    ) -> Self {
        Self { answer, stream, live: broadcast::Sender::new(16) }
    }

    pub(crate) async fn serve(self) -> Serving {
        let listener = TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).await.expect("a free port");
        let address = listener.local_addr().expect("a bound listener has an address");
        let incoming = TcpIncoming::from(listener).with_nodelay(Some(true));
        let server = Server::builder().add_service(FeedServiceServer::new(self));
        let serving = server.serve_with_incoming(incoming);
        let task = tokio::spawn(async { serving.await.expect("it serves") });
        Serving { address, task }
    }
}

#[async_trait]
impl FeedService for Raw {
    type WatchChangesStream = BoxStream<'static, Result<pb::WatchChangesResponse, Status>>;

    async fn get_feed_state(
        &self,
        _: Request<pb::GetFeedStateRequest>,
    ) -> Result<Response<pb::GetFeedStateResponse>, Status> {
        Err(Status::unimplemented("not measured"))
    }

    async fn list_changes(
        &self,
        _: Request<pb::ListChangesRequest>,
    ) -> Result<Response<pb::ListChangesResponse>, Status> {
        Ok(Response::new(self.answer.clone()))
    }

    async fn watch_changes(
        &self,
        _: Request<pb::WatchChangesRequest>,
    ) -> Result<Response<Self::WatchChangesStream>, Status> {
        let told = stream::unfold(self.live.subscribe(), |mut live| async move {
            live.recv().await.ok().map(|message| (Ok(message), live))
        });
        let given = stream::iter(self.stream.clone().into_iter().map(Ok));
        Ok(Response::new(given.chain(told).boxed()))
    }
}
