//! Catch-ups that are cut short.

use std::time::Duration;

use chablon_sdk::Replica;
use chablon_testkit::{Keeping, Proxy, TestHub, sample};
use rand::rngs::StdRng;
use rand::{RngExt, SeedableRng};
use test_case::test_case;

use crate::common::{NOW, assert_equal, client, client_of, kitchen, note, release, site, terms};

/// A hub with a history: the whole book, then corrections.
async fn hub_with_history(keeping: Keeping) -> TestHub {
    let hub = TestHub::start(keeping).await;
    let client = client(&hub);
    let mut documents = sample::saltmarsh().documents();
    release(&client, &documents, &terms("First standards")).await;
    for correction in ["One", "Two", "Three", "Four", "Five", "Six"] {
        note(&mut documents, "honey-bavarois", correction);
        note(&mut documents, "pastry-cream", correction);
        release(&client, &documents, &terms(correction)).await;
    }
    hub
}

/// Drops a catch-up after a random time, again and again, until one ends by itself.
async fn cut_short(replica: &Replica, client: &chablon_sdk::Client, rng: &mut StdRng) -> usize {
    for cuts in 0..400 {
        let patience = Duration::from_micros(rng.random_range(50..20_000));
        if let Ok(synced) = tokio::time::timeout(patience, replica.sync(client)).await {
            synced.expect("nothing is wrong but haste");
            return cuts;
        }
    }
    panic!("no catch-up in a row of 400 ever ended");
}

#[test_case(false; "in memory")]
#[test_case(true; "in a file")]
#[tokio::test]
async fn a_catch_up_may_be_dropped_at_any_moment(in_a_file: bool) {
    let hub = hub_with_history(Keeping::Memory).await;
    let client = client(&hub);
    let mut rng = StdRng::seed_from_u64(20_261_001);
    let folder = tempfile::tempdir().unwrap();
    let mut cuts = 0;
    for round in 0..200 {
        if cuts >= 200 {
            return;
        }
        let replica = if in_a_file {
            let path = folder.path().join(format!("{round}.db"));
            Replica::open(path, site("harbour")).await.unwrap().with_clock(|| NOW)
        } else {
            kitchen("harbour").await
        };
        cuts += cut_short(&replica, &client, &mut rng).await;
        assert_equal(&replica, &client).await;
        replica.close().await;
    }
    assert!(cuts >= 200, "only {cuts} catch-ups were cut short");
}

#[tokio::test]
async fn a_line_that_breaks_again_and_again_only_delays() {
    let hub = hub_with_history(Keeping::Memory).await;
    let direct = client(&hub);
    let way = std::sync::Arc::new(Proxy::to(hub.address()).await);
    let breaking = {
        let way = std::sync::Arc::clone(&way);
        tokio::spawn(async move {
            let mut rng = StdRng::seed_from_u64(7);
            loop {
                tokio::time::sleep(Duration::from_millis(rng.random_range(1..30))).await;
                way.cut();
                tokio::time::sleep(Duration::from_millis(rng.random_range(1..10))).await;
                way.mend();
            }
        })
    };
    let replica = kitchen("harbour").await;
    let client = client_of([way.url()]);
    let whole = async {
        while let Err(error) = replica.sync(&client).await {
            assert!(error.may_retry(), "{error:?}");
        }
    };
    tokio::time::timeout(Duration::from_mins(1), whole).await.expect("it gets through");
    breaking.abort();
    assert_equal(&replica, &direct).await;
}

#[tokio::test]
async fn revisions_come_in_order_over_a_slow_line_that_breaks() {
    use futures::TryStreamExt;
    let hub = hub_with_history(Keeping::Memory).await;
    let direct = client(&hub);
    let view = chablon_sdk::model::View::Whole;
    let heads: Vec<_> = direct.documents(&view).try_collect().await.unwrap();
    let way = Proxy::to(hub.address()).await;
    way.slow(Duration::from_millis(1));
    let client = client_of([way.url()]);
    let mut revisions = client.revisions(&view, heads.iter().map(|head| head.digest));
    let mut got = Vec::new();
    while let Some(revision) = revisions.try_next().await.unwrap() {
        got.push(revision.reference().clone());
        if got.len() == 10 || got.len() == 40 {
            way.cut();
            way.mend();
        }
    }
    assert_eq!(got, heads);
}
