//! A kitchen that follows over an encrypted line which breaks.

use std::sync::Arc;
use std::time::Duration;

use chablon_sdk::model::View;
use chablon_sdk::{Client, Event, Options, Replica, Tls};
use chablon_server::Tls as HubTls;
use chablon_testkit::trust::{HUB_KEY, key};
use chablon_testkit::{Authority, Keeping, Proxy, TestHub, sample};
use rand::rngs::StdRng;
use rand::{RngExt as _, SeedableRng as _};
use tokio_util::task::AbortOnDropHandle;

use crate::common::{assert_equal, note, quick};
use crate::signing::{first_root, pinned, release_signed, withdraw_signed};

/// How many corrections there are.
const CORRECTIONS: u64 = 40;

/// Lines that were lost without a word are soon noticed.
fn watchful() -> Options {
    let soon = Duration::from_millis(200);
    quick().with_keepalive(soon).with_keepalive_timeout(soon)
}

/// A hub that takes encrypted lines alone, with the small book, and how to call it.
async fn encrypted() -> (TestHub, impl Fn(String) -> Client) {
    let authority = Authority::default();
    let (certificate, private) = authority.vouch();
    let hub = TestHub::builder(Keeping::Memory)
        .tls(HubTls::new(certificate, private))
        .checkpoint_key(key(HUB_KEY))
        .start()
        .await;
    let client = move |url: String| {
        let options = watchful().with_tls(Tls::default().with_roots(authority.pem()));
        Client::connect([url.replace("http://", "https://")], options).expect("an address")
    };
    let chef = client(hub.url());
    chef.add_root(&first_root()).await.unwrap();
    release_signed(&chef, &sample::book().documents(), &[11]).await.unwrap();
    (hub, client)
}

/// Breaks a way again and again, each time in another manner.
fn breaking(way: Arc<Proxy>) -> AbortOnDropHandle<()> {
    let mut random = StdRng::seed_from_u64(20_261_128);
    AbortOnDropHandle::new(tokio::spawn(async move {
        loop {
            tokio::time::sleep(Duration::from_millis(random.random_range(20..150))).await;
            match random.random_range(0..8) {
                0 => way.half_open(),
                1..=3 => way.cut(),
                4 | 5 => way.stall(),
                _ => way.slow(Duration::from_millis(5)),
            }
            tokio::time::sleep(Duration::from_millis(random.random_range(5..80))).await;
            way.mend();
        }
    }))
}

async fn position(replica: &Replica) -> u64 {
    replica.status().await.unwrap().cursor.map_or(0, |cursor| cursor.position)
}

#[tokio::test]
async fn a_kitchen_follows_over_an_encrypted_line_that_breaks() {
    let (hub, client) = encrypted().await;
    let (chef, way) = (client(hub.url()), Arc::new(Proxy::to(hub.address()).await));
    let (line, replica) = (client(way.url()), pinned("harbour", &chef).await);
    let until = async {
        let trouble = breaking(Arc::clone(&way));
        let mut documents = sample::book().documents();
        for number in 0..CORRECTIONS {
            note(&mut documents, "custard", &format!("Corrected {number} times"));
            release_signed(&chef, &documents, &[11]).await.unwrap();
            tokio::time::sleep(Duration::from_millis(60)).await;
        }
        withdraw_signed(&chef, &[12]).await.unwrap();
        drop(trouble);
        way.mend();
        let end = chef.head(&View::Whole).await.unwrap().cursor.position;
        while position(&replica).await < end {
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    };
    let mut interrupted = 0;
    let following = replica.follow(&line, until, |event| {
        interrupted += usize::from(matches!(event, Event::Interrupted { .. }));
    });
    tokio::time::timeout(Duration::from_mins(1), following).await.expect("it ends").unwrap();
    assert!(interrupted > 5, "the line broke {interrupted} times");
    assert!(way.carried() > 10_000, "all of it came over the line that breaks");
    assert_equal(&replica, &chef).await;
}
