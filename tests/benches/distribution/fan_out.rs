//! One release on its way to a thousand watchers, beside the same release at a hub that nobody
//! watches, and then a bare stream of the same entry to as many.

use std::time::Instant;

use chablon_wire::pb;
use chablon_wire::pb::feed_service_client::FeedServiceClient;
use chablon_wire::pb::release_service_client::ReleaseServiceClient;
use futures::future::join_all;
use futures::{StreamExt as _, stream};
use tonic::Streaming;
use tonic::transport::Channel;

use crate::hubs::{Filled, SITE, send};
use crate::raw::Raw;
use crate::times::Times;

const JOB: &str = "fan-out";
const ROUNDS: usize = 11;
pub(crate) const WATCHERS: usize = 1_000;

type Watch = Streaming<pb::WatchChangesResponse>;

pub(crate) async fn measure(times: &mut Times) {
    let mut watched = Filled::with(100).await;
    let mut quiet = Filled::with(100).await;
    let head = head_of(&watched).await;
    let mut streams = opened(|| watch(watched.hub.channel(), head.clone())).await;
    let raw = Raw::new(pb::ListChangesResponse::default(), vec![bookmark()]);
    let live = raw.live.clone();
    let bare = raw.serve().await;
    let mut bare_watches = opened(|| async {
        let mut watch = open(bare.client().await, None).await;
        take(&mut watch).await;
        watch
    })
    .await;
    let mut to_watched = ReleaseServiceClient::new(watched.hub.channel().await);
    let mut to_quiet = ReleaseServiceClient::new(quiet.hub.channel().await);
    let (mut ours, mut raw) = (Vec::new(), Vec::new());
    for round in 0..ROUNDS {
        let release = watched.changed(&format!("Round {round}"));
        let start = Instant::now();
        let sending = send(&mut to_watched, &release);
        let ((), came) = tokio::join!(sending, join_all(streams.iter_mut().map(entries)));
        ours.push(start.elapsed().as_secs_f64());
        let message = came.into_iter().next().expect("there are watchers");

        let release = quiet.changed(&format!("Round {round}"));
        let start = Instant::now();
        send(&mut to_quiet, &release).await;
        live.send(message).expect("they listen");
        join_all(bare_watches.iter_mut().map(entries)).await;
        raw.push(start.elapsed().as_secs_f64());
    }
    times.add(JOB, "hub", "a release to 1,000 watchers", ours);
    times.add(JOB, "bare stream", "to as many after the same release elsewhere", raw);
}

/// The cursor of a reader that has read all.
pub(crate) async fn head_of(filled: &Filled) -> pb::FeedCursor {
    let mut feed = FeedServiceClient::new(filled.hub.channel().await);
    let request = pb::GetFeedStateRequest { site: SITE.to_owned() };
    let state = feed.get_feed_state(request).await.expect("it answers").into_inner();
    state.head.expect("it stands somewhere")
}

/// A watch that has heard that there is nothing new.
async fn watch(channel: impl Future<Output = Channel>, head: pb::FeedCursor) -> Watch {
    let mut watch = open(FeedServiceClient::new(channel.await), Some(head)).await;
    take(&mut watch).await;
    watch
}

/// How many watchers connect at a time: more than a thousand wait in no queue of a listener.
const CONNECT_AT_ONCE: usize = 100;

/// As many watches as there are watchers.
pub(crate) async fn opened<T, F: Future<Output = T>>(watch: impl Fn() -> F) -> Vec<T> {
    let watches = stream::iter((0..WATCHERS).map(|_| watch()));
    watches.buffered(CONNECT_AT_ONCE).collect().await
}

pub(crate) async fn open(
    mut client: FeedServiceClient<Channel>,
    after: Option<pb::FeedCursor>,
) -> Watch {
    let request = pb::WatchChangesRequest { site: SITE.to_owned(), after };
    client.watch_changes(request).await.expect("a stream").into_inner()
}

async fn take(watch: &mut Watch) -> pb::WatchChangesResponse {
    watch.message().await.expect("it goes on").expect("it has no end")
}

/// The next answer that has entries.
async fn entries(watch: &mut Watch) -> pb::WatchChangesResponse {
    loop {
        let answer = take(watch).await;
        if !answer.entries.is_empty() {
            return answer;
        }
    }
}

fn bookmark() -> pb::WatchChangesResponse {
    pb::WatchChangesResponse::default()
}
