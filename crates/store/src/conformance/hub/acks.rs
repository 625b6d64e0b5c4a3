//! What sites say about entries.

use std::sync::Arc;

use chablon_model::{Audience, Digest, Moment, View};

use crate::conformance::assert_refused;
use crate::conformance::samples::{id, limit, release, revision};
use crate::{Ack, AckFilter, HubError, HubStore, Statement, digest_of};

/// Three releases; gives the digests of their bodies.
async fn three_entries(hub: &dyn HubStore) -> [Digest; 3] {
    for number in 1..=3 {
        let pear = revision("recipe/pear", number);
        hub.release(release(&format!("r{number}"), Audience::All, &[&pear])).await.unwrap();
    }
    let page = hub.entries(&View::Whole, 0, limit(3)).await.unwrap();
    [0, 1, 2].map(|index| page.entries[index].body.digest)
}

fn ack(site: &str, position: u64, bodies: &[Digest; 3], statement: Statement, at: i64) -> Ack {
    let body_digest = usize::try_from(position)
        .ok()
        .and_then(|position| bodies.get(position.wrapping_sub(1)))
        .copied()
        .unwrap_or(bodies[0]);
    let reason = (statement == Statement::Refused).then(|| "the mixer is broken".to_owned());
    Ack { site: id(site), position, body_digest, statement, at: Moment(at), reason }
}

async fn everything(hub: &dyn HubStore) -> Vec<Ack> {
    hub.acks(&AckFilter { positions: 0..=u64::MAX, site: None }).await.unwrap()
}

/// The first moment of what was received stays; the statements are apart.
pub async fn acknowledging_again_changes_nothing(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let bodies = three_entries(&*hub).await;
    let received = ack("harbour", 1, &bodies, Statement::Received, 700);
    hub.acknowledge(vec![received.clone()]).await.unwrap();
    let later = Ack { at: Moment(900), ..received.clone() };
    hub.acknowledge(vec![later.clone(), later]).await.unwrap();
    assert_eq!(everything(&*hub).await, std::slice::from_ref(&received));
    let in_use = Ack { statement: Statement::InUse, at: Moment(650), ..received.clone() };
    hub.acknowledge(vec![in_use.clone()]).await.unwrap();
    let refused = ack("harbour", 1, &bodies, Statement::Refused, 600);
    hub.acknowledge(vec![refused.clone()]).await.unwrap();
    assert_eq!(everything(&*hub).await, [received, in_use, refused]);
    hub.acknowledge(Vec::new()).await.unwrap();
}

/// Of uses and of refusals the latest counts, in whatever order they come.
pub async fn the_latest_use_and_refusal_count(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let bodies = three_entries(&*hub).await;
    let refusal = |at, why: &str| Ack {
        reason: Some(why.to_owned()),
        ..ack("harbour", 1, &bodies, Statement::Refused, at)
    };
    let used = ack("harbour", 1, &bodies, Statement::InUse, 640);
    let first =
        [refusal(600, "no mixer"), used.clone(), refusal(650, "no oven"), refusal(620, "late")];
    hub.acknowledge(first.to_vec()).await.unwrap();
    assert_eq!(everything(&*hub).await, [used, refusal(650, "no oven")]);
    let again = ack("harbour", 1, &bodies, Statement::InUse, 660);
    hub.acknowledge(vec![again.clone(), refusal(650, "equal"), refusal(610, "old")]).await.unwrap();
    assert_eq!(everything(&*hub).await, [again, refusal(650, "no oven")]);
}

/// One that names no entry, or another one, refuses all that came with it.
pub async fn acknowledgements_are_taken_all_or_none(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let bodies = three_entries(&*hub).await;
    let good = ack("harbour", 1, &bodies, Statement::Received, 700);
    for position in [0, 4, u64::MAX] {
        let unknown = ack("harbour", position, &bodies, Statement::Received, 700);
        assert_refused!(
            hub.acknowledge(vec![good.clone(), unknown]).await,
            HubError::UnknownEntry { position: named } if named == position
        );
    }
    let other = digest_of(b"the entry of another epoch");
    let mismatch = Ack { position: 2, body_digest: other, ..good.clone() };
    assert_refused!(
        hub.acknowledge(vec![good, mismatch]).await,
        HubError::EntryMismatch { position: 2, stated, stored }
            if (stated, stored) == (other, bodies[1])
    );
    assert_eq!(everything(&*hub).await, []);
}

/// They come by position, site and statement, of a stretch of the feed and of one site or all.
pub async fn acknowledgements_are_filtered_and_ordered(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let bodies = three_entries(&*hub).await;
    let mut expected = Vec::new();
    for position in 1..=3 {
        for site in ["harbour", "millrace", "station"] {
            for statement in Statement::ALL {
                expected.push(ack(site, position, &bodies, statement, 800));
            }
        }
    }
    hub.acknowledge(expected.iter().rev().cloned().collect()).await.unwrap();
    assert_eq!(everything(&*hub).await, expected);
    let acks = async |positions, site: Option<&str>| {
        hub.acks(&AckFilter { positions, site: site.map(id) }).await.unwrap()
    };
    assert_eq!(acks(2..=2, None).await, expected[9..18]);
    assert_eq!(
        acks(2..=3, Some("millrace")).await,
        [&expected[12..15], &expected[21..24]].concat()
    );
    assert_eq!(acks(4..=9, None).await, []);
    assert_eq!(acks(1..=3, Some("elsewhere")).await, []);
}
