//! Following the feed.

use std::sync::Arc;

use chablon_wire::pb::feed_service_server::FeedService;
use chablon_wire::{At, FeedCursor, Violation, Wire, pb};
use futures::stream::BoxStream;
use tonic::{Request, Response, Status, async_trait};

use super::watch::Watch;
use super::{entries_to_pb, to_wire};
use crate::access::Caller;
use crate::desk::Desk;
use crate::fields;
use crate::status::Refusal;

/// How many entries a page has unless asked otherwise, and at most.
const PAGE: (u32, u32) = (100, 1000);

/// The service over a hub.
pub(crate) struct Feed(pub(crate) Arc<Desk>);

#[async_trait]
impl FeedService for Feed {
    async fn get_feed_state(
        &self,
        request: Request<pb::GetFeedStateRequest>,
    ) -> Result<Response<pb::GetFeedStateResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("GetFeedState", &request, &request.get_ref().site);
        call.answer(self.state(caller, request.into_inner())).await
    }

    async fn list_changes(
        &self,
        request: Request<pb::ListChangesRequest>,
    ) -> Result<Response<pb::ListChangesResponse>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("ListChanges", &request, &request.get_ref().site);
        call.answer(self.changes(caller, request.into_inner())).await
    }

    type WatchChangesStream = BoxStream<'static, Result<pb::WatchChangesResponse, Status>>;

    async fn watch_changes(
        &self,
        request: Request<pb::WatchChangesRequest>,
    ) -> Result<Response<Self::WatchChangesStream>, Status> {
        let caller = Caller::of(&request)?;
        let call = self.0.call("WatchChanges", &request, &request.get_ref().site);
        call.answer(self.watch(caller, request.into_inner())).await
    }
}

impl Feed {
    async fn state(
        &self,
        caller: Caller,
        request: pb::GetFeedStateRequest,
    ) -> Result<pb::GetFeedStateResponse, Refusal> {
        let view = caller.view(&request.site)?;
        let replica = self.0.replica().await?;
        let standpoint = self.0.exchange.feed_state(&view).await?;
        Ok(pb::GetFeedStateResponse {
            head: Some(standpoint.head.to_pb()),
            oldest_position: standpoint.oldest,
            replica,
        })
    }

    async fn changes(
        &self,
        caller: Caller,
        request: pb::ListChangesRequest,
    ) -> Result<pb::ListChangesResponse, Refusal> {
        let view = caller.view(&request.site)?;
        let after = cursor(request.after)?;
        let limit = fields::page_size(request.page_size, PAGE.0, PAGE.1);
        let changes = self.0.exchange.changes(&view, &after, limit).await?;
        let checkpoint = self.0.exchange.vouch(&view, &changes, self.0.clock.now()).await?;
        Ok(pb::ListChangesResponse {
            checkpoint: checkpoint.map(|one| to_wire(one).to_pb()),
            entries: entries_to_pb(changes.entries),
            next: Some(changes.next.to_pb()),
            more: changes.more,
        })
    }

    async fn watch(
        &self,
        caller: Caller,
        request: pb::WatchChangesRequest,
    ) -> Result<BoxStream<'static, Result<pb::WatchChangesResponse, Status>>, Refusal> {
        let view = caller.view(&request.site)?;
        let after = cursor(request.after)?;
        let watch = Watch::begin(Arc::clone(&self.0), caller, view, after).await?;
        Ok(Box::pin(self.0.slots.hold(watch.stream())?))
    }
}

/// The cursor after which to read; the start where there is none.
fn cursor(after: Option<pb::FeedCursor>) -> Result<FeedCursor, Violation> {
    FeedCursor::from_pb(after.unwrap_or_default()).at("after")
}
