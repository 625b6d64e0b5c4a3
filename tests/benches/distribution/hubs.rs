//! Hubs in this process, filled with a book.

use std::path::{Path, PathBuf};

use chablon_model::{Audience, DocumentContent, View};
use chablon_sdk::{Client, Options, Replica};
use chablon_server::HubConfig;
use chablon_testkit::{Chef, FrozenRelease, Keeping, Proxy, TestHub};
use chablon_wire::pb::release_service_client::ReleaseServiceClient;
use tempfile::TempDir;

use crate::book::{Book, book};

/// How many recipes a release has.
const BY_RELEASE: usize = 100;

/// The site whose view is read.
pub(crate) const SITE: &str = "harbour";

/// What a message may have, on either side.
const MAX_BYTES: usize = 32 << 20;

/// A hub on SQLite that serves a book of so many recipes.
pub(crate) struct Filled {
    pub(crate) hub: TestHub,
    pub(crate) client: Client,
    pub(crate) chef: Chef,
    pub(crate) book: Book,
    pub(crate) folder: TempDir,
}

impl Filled {
    pub(crate) async fn with(recipes: usize) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let hub = hub(folder.path().join("hub.db")).await;
        let client = Client::connect([hub.url()], Options::default()).expect("an address");
        let (mut chef, book) = (Chef::new(), book(recipes));
        let mut releases = ReleaseServiceClient::new(hub.channel().await);
        let ground = chef.release(&book.ground, &Audience::All);
        send(&mut releases, &ground).await;
        for some in book.recipes.chunks(BY_RELEASE) {
            let some: Vec<_> = some.iter().cloned().map(DocumentContent::Recipe).collect();
            send(&mut releases, &chef.release(&some, &Audience::All)).await;
        }
        Self { hub, client, chef, book, folder }
    }

    /// How many bytes travel, both ways, when a replica catches up.
    pub(crate) async fn bytes_of_sync(&self, replica: &Replica) -> u64 {
        let proxy = Proxy::to(self.hub.address()).await;
        let client = Client::connect([proxy.url()], Options::default()).expect("an address");
        replica.sync(&client).await.expect("it catches up");
        proxy.carried()
    }

    /// Changes a recipe that nothing uses, and releases that.
    pub(crate) async fn change(&mut self, note: &str) {
        let request = self.changed(note);
        let mut releases = ReleaseServiceClient::new(self.hub.channel().await);
        send(&mut releases, &request).await;
    }

    /// A release of a recipe that nothing uses, with another note.
    pub(crate) fn changed(&mut self, note: &str) -> FrozenRelease {
        let mut recipe = self.book.recipes.last().expect("there are recipes").clone();
        recipe.note = Some(note.to_owned());
        self.chef.release(&[DocumentContent::Recipe(recipe)], &Audience::All)
    }
}

/// A replica of the site that holds nothing yet.
pub(crate) async fn empty(path: &Path) -> Replica {
    Replica::open(path, SITE.parse().expect("a site")).await.expect("a replica")
}

/// Bytes, as one reads them.
pub(crate) fn bytes(count: u64) -> String {
    let count = u32::try_from(count).expect("some megabytes");
    if count < 100_000 {
        format!("{count} bytes")
    } else {
        format!("{:.2} MB", f64::from(count) / 1e6)
    }
}

/// The view of the site.
pub(crate) fn view() -> View {
    View::Site(SITE.parse().expect("a site"))
}

/// A hub on an SQLite file, which takes as many readers as the benchmarks have.
pub(crate) async fn hub(path: PathBuf) -> TestHub {
    TestHub::builder(Keeping::SqliteAt(path)).config(wide()).start().await
}

/// Room for a thousand watchers.
pub(crate) fn wide() -> HubConfig {
    HubConfig { max_connections: 2_000, max_streams: 2_000, ..HubConfig::default() }
}

pub(crate) async fn send(
    releases: &mut ReleaseServiceClient<tonic::transport::Channel>,
    release: &FrozenRelease,
) {
    let mut releases = releases.clone().max_encoding_message_size(MAX_BYTES);
    releases.create_release(release.request()).await.expect("it is released");
}
