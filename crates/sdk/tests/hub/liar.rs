//! A hub between a kitchen and the real one that doesn't always tell the truth.

use std::net::{Ipv4Addr, SocketAddr};
use std::sync::Arc;
use std::time::Duration;

use chablon_wire::pb;
use chablon_wire::pb::adoption_service_client::AdoptionServiceClient;
use chablon_wire::pb::adoption_service_server::{AdoptionService, AdoptionServiceServer};
use chablon_wire::pb::document_service_client::DocumentServiceClient;
use chablon_wire::pb::document_service_server::{DocumentService, DocumentServiceServer};
use chablon_wire::pb::feed_service_client::FeedServiceClient;
use chablon_wire::pb::feed_service_server::{FeedService, FeedServiceServer};
use chablon_wire::pb::trust_service_client::TrustServiceClient;
use chablon_wire::pb::trust_service_server::{TrustService, TrustServiceServer};
use futures::stream::{self, BoxStream};
use futures::{StreamExt, TryStreamExt};
use tokio::net::TcpListener;
use tokio::sync::{Semaphore, watch};
use tonic::transport::server::TcpIncoming;
use tonic::transport::{Channel, Server};
use tonic::{Request, Response, Status, async_trait};

/// What is told otherwise than it is.
pub(crate) type Pages = fn(Option<pb::FeedCursor>, &mut pb::ListChangesResponse);
/// What is told otherwise than it is.
pub(crate) type Revisions = fn(&mut Vec<pb::BatchGetRevisionsResponse>);
/// What is told otherwise than it is.
pub(crate) type Roots = fn(&mut pb::ListRootsResponse);

/// How it lies.
#[derive(Clone, Copy)]
pub(crate) struct Lies {
    pub(crate) pages: Pages,
    pub(crate) revisions: Revisions,
    pub(crate) roots: Roots,
    /// Whose view is shown in the place of the one that is asked for.
    pub(crate) site: Option<&'static str>,
}

impl Lies {
    pub(crate) fn about_pages(pages: Pages) -> Self {
        Self { pages, ..Self::none() }
    }

    pub(crate) fn about_revisions(revisions: Revisions) -> Self {
        Self { revisions, ..Self::none() }
    }

    pub(crate) fn about_roots(roots: Roots) -> Self {
        Self { roots, ..Self::none() }
    }

    fn none() -> Self {
        Self { pages: |_, _| (), revisions: |_| (), roots: |_| (), site: None }
    }
}

/// Holds pages of the feed that were fetched until they are let pass.
pub(crate) struct Gate {
    fetched: watch::Sender<u64>,
    passes: Semaphore,
}

impl Gate {
    /// A gate that lets nothing pass.
    pub(crate) fn closed() -> Arc<Self> {
        Arc::new(Self { fetched: watch::Sender::new(0), passes: Semaphore::new(0) })
    }

    async fn pass(&self) {
        self.fetched.send_modify(|pages| *pages += 1);
        self.passes.acquire().await.expect("it is never closed for good").forget();
    }

    /// Waits until so many pages were fetched in all.
    pub(crate) async fn fetched(&self, pages: u64) {
        let mut fetched = self.fetched.subscribe();
        let enough = fetched.wait_for(|so_far| *so_far >= pages);
        let enough = tokio::time::timeout(Duration::from_secs(30), enough).await;
        enough.expect("so many are fetched before long").expect("the gate is there");
    }

    /// Lets so many more pages pass.
    pub(crate) fn let_pass(&self, pages: usize) {
        self.passes.add_permits(pages);
    }
}

#[derive(Clone)]
struct Liar {
    honest: Channel,
    lies: Lies,
    gate: Option<Arc<Gate>>,
}

/// Serves lies about a hub until the test ends, and says where.
pub(crate) async fn liar(honest: Channel, lies: Lies) -> String {
    serve(Liar { honest, lies, gate: None }).await
}

/// Serves the truth about a hub through a gate until the test ends, and says where.
pub(crate) async fn gated(honest: Channel, gate: &Arc<Gate>) -> String {
    serve(Liar { honest, lies: Lies::none(), gate: Some(Arc::clone(gate)) }).await
}

async fn serve(liar: Liar) -> String {
    let address = SocketAddr::from((Ipv4Addr::LOCALHOST, 0));
    let listener = TcpListener::bind(address).await.expect("a free port");
    let address = listener.local_addr().expect("a bound listener has an address");
    let server = Server::builder()
        .add_service(FeedServiceServer::new(liar.clone()))
        .add_service(TrustServiceServer::new(liar.clone()))
        .add_service(AdoptionServiceServer::new(liar.clone()))
        .add_service(DocumentServiceServer::new(liar))
        .serve_with_incoming(TcpIncoming::from(listener));
    tokio::spawn(server);
    format!("http://{address}")
}

#[async_trait]
impl FeedService for Liar {
    type WatchChangesStream = BoxStream<'static, Result<pb::WatchChangesResponse, Status>>;

    async fn get_feed_state(
        &self,
        request: Request<pb::GetFeedStateRequest>,
    ) -> Result<Response<pb::GetFeedStateResponse>, Status> {
        FeedServiceClient::new(self.honest.clone()).get_feed_state(request.into_inner()).await
    }

    async fn list_changes(
        &self,
        request: Request<pb::ListChangesRequest>,
    ) -> Result<Response<pb::ListChangesResponse>, Status> {
        let mut request = request.into_inner();
        if let Some(site) = self.lies.site {
            site.clone_into(&mut request.site);
        }
        let after = request.after.clone();
        let mut client = FeedServiceClient::new(self.honest.clone());
        let mut page = client.list_changes(request).await?.into_inner();
        (self.lies.pages)(after, &mut page);
        if let Some(gate) = &self.gate {
            gate.pass().await;
        }
        Ok(Response::new(page))
    }

    async fn watch_changes(
        &self,
        request: Request<pb::WatchChangesRequest>,
    ) -> Result<Response<Self::WatchChangesStream>, Status> {
        let mut client = FeedServiceClient::new(self.honest.clone());
        let answers = client.watch_changes(request.into_inner()).await?.into_inner();
        let pages = self.lies.pages;
        // What comes in a stream is lied about as the end of a list is.
        let told = answers.map_ok(move |pb::WatchChangesResponse { entries, next, checkpoint }| {
            let mut page = pb::ListChangesResponse { entries, next, more: false, checkpoint };
            pages(None, &mut page);
            let pb::ListChangesResponse { entries, next, checkpoint, .. } = page;
            pb::WatchChangesResponse { entries, next, checkpoint }
        });
        Ok(Response::new(told.boxed()))
    }
}

#[async_trait]
impl TrustService for Liar {
    async fn list_roots(
        &self,
        request: Request<pb::ListRootsRequest>,
    ) -> Result<Response<pb::ListRootsResponse>, Status> {
        let mut client = TrustServiceClient::new(self.honest.clone());
        let mut answer = client.list_roots(request.into_inner()).await?.into_inner();
        (self.lies.roots)(&mut answer);
        Ok(Response::new(answer))
    }

    async fn add_root(
        &self,
        _: Request<pb::AddRootRequest>,
    ) -> Result<Response<pb::AddRootResponse>, Status> {
        Err(Status::unimplemented("not needed"))
    }

    async fn sign_entries(
        &self,
        _: Request<pb::SignEntriesRequest>,
    ) -> Result<Response<pb::SignEntriesResponse>, Status> {
        Err(Status::unimplemented("not needed"))
    }
}

#[async_trait]
impl AdoptionService for Liar {
    async fn acknowledge(
        &self,
        _: Request<pb::AcknowledgeRequest>,
    ) -> Result<Response<pb::AcknowledgeResponse>, Status> {
        Err(Status::unimplemented("not needed"))
    }

    async fn list_adoption(
        &self,
        request: Request<pb::ListAdoptionRequest>,
    ) -> Result<Response<pb::ListAdoptionResponse>, Status> {
        AdoptionServiceClient::new(self.honest.clone()).list_adoption(request.into_inner()).await
    }
}

#[async_trait]
impl DocumentService for Liar {
    type BatchGetRevisionsStream =
        BoxStream<'static, Result<pb::BatchGetRevisionsResponse, Status>>;

    async fn batch_get_revisions(
        &self,
        request: Request<pb::BatchGetRevisionsRequest>,
    ) -> Result<Response<Self::BatchGetRevisionsStream>, Status> {
        let mut client = DocumentServiceClient::new(self.honest.clone());
        // One at a time, so that each can be lied about.
        let request = pb::BatchGetRevisionsRequest { packed: false, ..request.into_inner() };
        let answers = client.batch_get_revisions(request).await?.into_inner();
        let mut answers: Vec<_> = answers.try_collect().await?;
        (self.lies.revisions)(&mut answers);
        Ok(Response::new(stream::iter(answers.into_iter().map(Ok)).boxed()))
    }

    async fn list_documents(
        &self,
        _: Request<pb::ListDocumentsRequest>,
    ) -> Result<Response<pb::ListDocumentsResponse>, Status> {
        Err(Status::unimplemented("not needed"))
    }

    async fn get_revision(
        &self,
        _: Request<pb::GetRevisionRequest>,
    ) -> Result<Response<pb::GetRevisionResponse>, Status> {
        Err(Status::unimplemented("not needed"))
    }

    async fn get_standard(
        &self,
        _: Request<pb::GetStandardRequest>,
    ) -> Result<Response<pb::GetStandardResponse>, Status> {
        Err(Status::unimplemented("not needed"))
    }

    async fn list_standards(
        &self,
        _: Request<pb::ListStandardsRequest>,
    ) -> Result<Response<pb::ListStandardsResponse>, Status> {
        Err(Status::unimplemented("not needed"))
    }
}
