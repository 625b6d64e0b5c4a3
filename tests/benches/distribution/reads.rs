//! Reading a revision that is asked for often, beside a bare answer of the same size.

use std::time::Instant;

use chablon_wire::pb;
use chablon_wire::pb::document_service_client::DocumentServiceClient;
use futures::future::join_all;

use crate::hubs::{Filled, SITE};
use crate::raw::Raw;
use crate::times::Times;

const JOB: &str = "cached read";
const ROUNDS: usize = 15;

/// How many ask at once, and how often each asks in a round.
const READERS: u32 = 16;
const EACH: u32 = 250;

pub(crate) async fn measure(filled: &Filled, times: &mut Times) {
    let last = filled.book.recipes.last().expect("there are recipes");
    let reference = filled.chef.latest(&format!("recipe/{}", last.id));
    let digest: bytes::Bytes = reference.digest.0.to_vec().into();
    let ask = pb::GetRevisionRequest { site: SITE.to_owned(), digest };
    let hub = DocumentServiceClient::new(filled.hub.channel().await);
    let answer = hub.clone().get_revision(ask.clone()).await.expect("it is there").into_inner();
    let frozen = answer.revision.and_then(|one| one.frozen).expect("it has bytes");
    let body = Some(pb::feed_entry::Body::ReleasePart(frozen));
    let entries = vec![pb::FeedEntry { body, ..pb::FeedEntry::default() }];
    let answer = pb::ListChangesResponse { entries, ..pb::ListChangesResponse::default() };
    let serving = Raw::new(answer, Vec::new()).serve().await;
    let bare = serving.client().await;
    let (mut ours, mut raw) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        ours.push(
            seconds(|| {
                let (mut hub, ask) = (hub.clone(), ask.clone());
                async move { drop(hub.get_revision(ask).await.expect("it is there")) }
            })
            .await,
        );
        raw.push(
            seconds(|| {
                let mut bare = bare.clone();
                let request =
                    pb::ListChangesRequest { site: SITE.to_owned(), ..Default::default() };
                async move { drop(bare.list_changes(request).await.expect("it answers")) }
            })
            .await,
        );
    }
    times.add(JOB, "hub", "a revision by digest, 16 at once", ours);
    times.add(JOB, "bare answer", "of the same size", raw);
}

/// The seconds of one call, when so many are made at once.
async fn seconds<F: Future<Output = ()>>(call: impl Fn() -> F) -> f64 {
    let start = Instant::now();
    let reader = || async {
        for _ in 0..EACH {
            call().await;
        }
    };
    join_all((0..READERS).map(|_| reader())).await;
    start.elapsed().as_secs_f64() / f64::from(READERS * EACH)
}
