//! Readers who follow the feed and write down what they are given.

use std::sync::{Arc, Mutex};
use std::time::Duration;

use chablon_sdk::model::View;
use chablon_sdk::{Client, Following};
use futures::{StreamExt as _, TryStreamExt as _};
use tokio_util::task::AbortOnDropHandle;

use crate::group::site;
use crate::history::{Seen, Watched, entries};

/// How long a reader may need to be given the rest, once all is mended.
const PATIENCE: Duration = Duration::from_mins(2);

/// A reader of one view.
pub(crate) struct Watcher {
    pub(crate) name: String,
    view: View,
    given: Arc<Mutex<Vec<Seen>>>,
    _reading: AbortOnDropHandle<()>,
}

impl Watcher {
    /// Two of the whole and two of a kitchen's view, each with a client of its own.
    pub(crate) fn start_all(client: impl Fn(usize) -> Client) -> Vec<Self> {
        let views = [View::Whole, View::Whole, View::Site(site(0)), View::Site(site(1))];
        let start = |(number, view)| Self::start(number, view, &client(number));
        views.into_iter().enumerate().map(start).collect()
    }

    fn start(number: usize, view: View, client: &Client) -> Self {
        let given = Arc::new(Mutex::new(Vec::new()));
        let reading = read(client.clone(), view.clone(), Arc::clone(&given));
        let reading = AbortOnDropHandle::new(tokio::spawn(reading));
        Self { name: format!("Watcher {number}"), view, given, _reading: reading }
    }

    /// Waits until it was given all that there is, or what it waits for never comes.
    pub(crate) async fn finish(self, hub: &Client) -> Watched {
        let stretches = hub.changes(&self.view, None).try_collect::<Vec<_>>().await;
        let view: Vec<Seen> = entries(&stretches.expect("the hub lists the view"));
        let given = || self.given.lock().expect("nobody panicked").clone();
        let done = async {
            while given().len() < view.len() {
                tokio::time::sleep(Duration::from_millis(100)).await;
            }
        };
        // What is still missing after that is for the validators to find.
        let _late = tokio::time::timeout(PATIENCE, done).await;
        let site = match self.view {
            View::Whole => None,
            View::Site(site) => Some(site),
        };
        Watched { site, given: given(), view }
    }
}

async fn read(client: Client, view: View, given: Arc<Mutex<Vec<Seen>>>) {
    let mut stream = client.follow(&view, None);
    while let Some(next) = stream.next().await {
        if let Following::Changes(changes) = next.expect("what breaks off is resumed") {
            let new = changes.entries.iter().map(Seen::from);
            given.lock().expect("nobody panicked").extend(new);
        }
    }
}
