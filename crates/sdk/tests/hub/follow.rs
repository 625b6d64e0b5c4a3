//! Staying up to date.

use std::time::Duration;

use chablon_sdk::model::{Moment, View};
use chablon_sdk::{Event, Following, Relisted};
use chablon_server::HubConfig;
use chablon_testkit::trust::{HUB_KEY, key};
use chablon_testkit::{Keeping, Proxy, TestHub, sample};
use futures::StreamExt;
use tokio::sync::{mpsc, oneshot};
use tokio::time::timeout;

use crate::common::{
    NOW, assert_equal, client, client_of, first_line, group, hub_with_book, kitchen, quick,
    regroup, release, terms,
};
use crate::signing::{DAY, first_root, pinned, pinned_at, release_signed};

/// How long a test waits for what must come.
const SOON: Duration = Duration::from_secs(20);

/// A kitchen that follows in the background.
struct Followed {
    events: mpsc::UnboundedReceiver<Event>,
    stop: oneshot::Sender<()>,
    done: tokio::task::JoinHandle<Result<(), chablon_sdk::Error>>,
}

fn follow(replica: &chablon_sdk::Replica, client: &chablon_sdk::Client) -> Followed {
    let (tell, events) = mpsc::unbounded_channel();
    let (stop, stopped) = oneshot::channel();
    let (replica, client) = (replica.clone(), client.clone());
    let done = tokio::spawn(async move {
        let until = async { stopped.await.unwrap_or(()) };
        replica.follow(&client, until, |event| drop(tell.send(event))).await
    });
    Followed { events, stop, done }
}

impl Followed {
    async fn next(&mut self, wanted: impl Fn(&Event) -> bool) -> Event {
        let found = async {
            loop {
                let event = self.events.recv().await.expect("it still follows");
                if wanted(&event) {
                    return event;
                }
            }
        };
        timeout(SOON, found).await.expect("it comes soon")
    }

    async fn caught_up(&mut self) -> chablon_sdk::Synced {
        match self.next(|event| matches!(event, Event::CaughtUp(_))).await {
            Event::CaughtUp(synced) => synced,
            other => panic!("{other:?}"),
        }
    }

    async fn end(self) {
        self.stop.send(()).expect("it still follows");
        timeout(SOON, self.done).await.expect("it ends").expect("no panic").expect("no error");
    }
}

#[tokio::test]
async fn a_release_arrives_by_itself() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("harbour").await;
    let mut followed = follow(&replica, &client);
    followed.caught_up().await;
    let mut documents = sample::book().documents();
    first_line(&mut documents, "custard", 900);
    release(&client, &documents, &terms("Less milk")).await;
    let took = followed.next(|event| matches!(event, Event::Took { .. })).await;
    assert!(matches!(took, Event::Took { entries: 1, position: 4 }), "{took:?}");
    followed.end().await;
    assert_equal(&replica, &client).await;
}

#[tokio::test]
async fn a_cut_line_is_told_and_mends_itself() {
    let (hub, direct) = hub_with_book(Keeping::Memory).await;
    let way = Proxy::to(hub.address()).await;
    let replica = kitchen("harbour").await;
    let mut followed = follow(&replica, &client_of([way.url()]));
    followed.caught_up().await;
    way.cut();
    followed.next(|event| matches!(event, Event::Interrupted { .. })).await;
    let mut documents = sample::book().documents();
    first_line(&mut documents, "custard", 900);
    release(&direct, &documents, &terms("Less milk")).await;
    way.mend();
    followed.next(|event| matches!(event, Event::Took { .. } | Event::CaughtUp(_))).await;
    followed.end().await;
    replica.sync(&direct).await.unwrap();
    assert_equal(&replica, &direct).await;
}

#[tokio::test]
async fn a_hub_that_restarts_is_followed_on() {
    let folder = tempfile::tempdir().unwrap();
    let keeping = Keeping::SqliteAt(folder.path().join("hub.db"));
    let (old, _) = hub_with_book(keeping.clone()).await;
    let address = old.address();
    let replica = kitchen("harbour").await;
    let mut followed = follow(&replica, &client(&old));
    followed.caught_up().await;
    old.stop().await;
    followed.next(|event| matches!(event, Event::Interrupted { .. })).await;
    let new = TestHub::builder(keeping).address(address).start().await;
    let client = client(&new);
    let mut documents = sample::book().documents();
    first_line(&mut documents, "custard", 900);
    release(&client, &documents, &terms("Less milk")).await;
    followed.next(|event| matches!(event, Event::Took { entries: 1, .. })).await;
    followed.end().await;
    assert_equal(&replica, &client).await;
}

#[tokio::test]
async fn a_kitchen_may_start_before_its_hub() {
    let hub = TestHub::start(Keeping::Memory).await;
    let way = Proxy::to(hub.address()).await;
    way.cut();
    release(&client(&hub), &sample::book().documents(), &terms("First")).await;
    let replica = kitchen("harbour").await;
    let mut followed = follow(&replica, &client_of([way.url()]));
    followed.next(|event| matches!(event, Event::Interrupted { .. })).await;
    way.mend();
    followed.caught_up().await;
    followed.end().await;
    assert_equal(&replica, &client(&hub)).await;
}

#[tokio::test]
async fn other_groups_are_taken_up_while_following() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let mut documents = sample::book().documents();
    first_line(&mut documents, "custard", 900);
    release(&client, &documents, &terms("The coast first").to(group("coast"))).await;
    let replica = kitchen("millrace").await;
    let mut followed = follow(&replica, &client);
    followed.caught_up().await;
    regroup(&mut documents, "millrace", &["coast"]);
    release(&client, &documents, &terms("Millrace joins the coast")).await;
    let synced = followed.caught_up().await;
    assert_eq!(synced.relisted, Some(Relisted::OtherView));
    followed.end().await;
    assert_equal(&replica, &client).await;
}

#[tokio::test]
async fn an_unknown_site_ends_it() {
    let (_hub, client) = hub_with_book(Keeping::Memory).await;
    let replica = kitchen("station").await;
    let ended = replica.follow(&client, std::future::pending(), |_| ()).await.unwrap_err();
    assert!(ended.is_not_found());
}

#[tokio::test]
async fn the_whole_feed_is_followed_from_a_cursor() {
    let (hub, direct) = hub_with_book(Keeping::Memory).await;
    let way = Proxy::to(hub.address()).await;
    let client = client_of([way.url()]);
    let head = client.head(&View::Whole).await.unwrap().cursor;
    let mut stream = client.follow(&View::Whole, Some(head));
    let first = timeout(SOON, stream.next()).await.unwrap().unwrap().unwrap();
    assert!(matches!(&first, Following::Changes(one) if one.entries.is_empty()), "{first:?}");
    way.cut();
    let lost = timeout(SOON, stream.next()).await.unwrap().unwrap().unwrap();
    assert!(matches!(lost, Following::Interrupted { .. }), "{lost:?}");
    let mut documents = sample::book().documents();
    first_line(&mut documents, "custard", 900);
    release(&direct, &documents, &terms("Less milk")).await;
    way.mend();
    let position = async {
        loop {
            if let Following::Changes(changes) = stream.next().await.unwrap().unwrap()
                && let [only] = &changes.entries[..]
            {
                return only.position;
            }
        }
    };
    assert_eq!(timeout(SOON, position).await.unwrap(), 4);
}

#[tokio::test]
async fn a_silent_hub_counts_as_lost() {
    let (hub, _) = hub_with_book(Keeping::Memory).await;
    let way = Proxy::to(hub.address()).await;
    let options = quick().with_silence(Duration::from_millis(200));
    let client = chablon_sdk::Client::connect([way.url()], options).unwrap();
    let mut stream = client.follow(&View::Whole, None);
    timeout(SOON, stream.next()).await.unwrap().unwrap().unwrap();
    way.stall();
    let lost = async {
        loop {
            if let Following::Interrupted { error, .. } = stream.next().await.unwrap().unwrap() {
                return error;
            }
        }
    };
    let lost = timeout(SOON, lost).await.unwrap();
    assert!(lost.is_timeout(), "{lost:?}");
}

/// A hub that has nothing new for hours still vouches for that, so a kitchen that verifies stays young.
#[tokio::test]
async fn a_quiet_hub_goes_on_vouching() {
    let config = HubConfig { bookmark_every: Duration::from_millis(50), ..HubConfig::default() };
    let hub = TestHub::builder(Keeping::Memory).config(config).checkpoint_key(key(HUB_KEY));
    let hub = hub.start().await;
    let client = client(&hub);
    client.add_root(&first_root()).await.unwrap();
    release_signed(&client, &sample::book().documents(), &[11]).await.unwrap();
    let folder = tempfile::tempdir().unwrap();
    let in_a_file = pinned_at(&folder.path().join("kitchen.db"), &client, NOW).await;
    for replica in [pinned("harbour", &client).await, in_a_file] {
        let mut followed = follow(&replica, &client);
        followed.caught_up().await;
        let later = Moment(hub.clock().now().0 + DAY / 2);
        hub.clock().set(later);
        let vouched = async {
            while replica.status().await.unwrap().known_at() != Some(later) {
                tokio::time::sleep(Duration::from_millis(20)).await;
            }
        };
        timeout(SOON, vouched).await.expect("it hears so soon");
        followed.end().await;
    }
}
