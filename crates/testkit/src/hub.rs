//! A hub in the test's own process.

use std::net::{Ipv4Addr, SocketAddr};
use std::path::PathBuf;
use std::sync::Arc;
use std::time::Duration;

use chablon_model::{Moment, Role};
use chablon_server::{
    Access, Clock, Compacted, Hub, HubConfig, Location, OpenStore, Stopped, Tls, compact,
};
use chablon_store::{
    Actor, Attempt, HubStore, MemoryHub, NewEnrolment, NewToken, Request, digest_of,
};
use chablon_trust::SigningKey;
use chablon_wire::AccessToken;
use tempfile::TempDir;
use tokio::net::TcpListener;
use tokio::task::JoinHandle;
use tokio_util::sync::CancellationToken;
use tonic::transport::{Channel, Endpoint};
use uuid::Uuid;

use crate::TestClock;
use crate::postgres::TestDatabase;

/// What a hub keeps its documents in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Keeping {
    /// In memory.
    Memory,
    /// In an SQLite file in a folder of its own, which goes with the hub.
    Sqlite,
    /// In this SQLite file, which stays.
    SqliteAt(PathBuf),
    /// In a PostgreSQL database of its own, which goes with the hub.
    Postgres,
}

/// A hub that serves on a free port of 127.0.0.1 until it is stopped or dropped.
pub struct TestHub {
    address: SocketAddr,
    store: Arc<dyn HubStore>,
    open: Option<OpenStore>,
    clock: TestClock,
    stop: CancellationToken,
    serving: JoinHandle<Stopped>,
    _folder: Option<TempDir>,
    _database: Option<TestDatabase>,
}

/// How a hub is to be.
#[derive(Debug)]
pub struct TestHubBuilder {
    keeping: Keeping,
    config: HubConfig,
    clock: TestClock,
    address: SocketAddr,
    access: Access,
    tls: Option<Tls>,
    checkpoint_key: Option<SigningKey>,
}

impl TestHubBuilder {
    /// With other bounds.
    #[must_use]
    pub fn config(self, config: HubConfig) -> Self {
        Self { config, ..self }
    }

    /// With this clock.
    #[must_use]
    pub fn clock(self, clock: TestClock) -> Self {
        Self { clock, ..self }
    }

    /// On this address, such as that of a hub that was stopped.
    #[must_use]
    pub fn address(self, address: SocketAddr) -> Self {
        Self { address, ..self }
    }

    /// Letting in those whom this names.
    #[must_use]
    pub fn access(self, access: Access) -> Self {
        Self { access, ..self }
    }

    /// Encrypting what goes over the wire.
    #[must_use]
    pub fn tls(self, tls: Tls) -> Self {
        Self { tls: Some(tls), ..self }
    }

    /// With a key by which it signs what it shows.
    #[must_use]
    pub fn checkpoint_key(self, key: SigningKey) -> Self {
        Self { checkpoint_key: Some(key), ..self }
    }

    /// Starts it.
    pub async fn start(self) -> TestHub {
        let (mut folder, mut database) = (None, None);
        let location = match self.keeping {
            Keeping::Memory => None,
            Keeping::SqliteAt(path) => Some(Location::File(path)),
            Keeping::Sqlite => {
                let own = folder.insert(tempfile::tempdir().expect("a folder for the store"));
                Some(Location::File(own.path().join("hub.db")))
            }
            Keeping::Postgres => {
                let own = database.insert(TestDatabase::create().await);
                Some(Location::Database(own.url().to_owned()))
            }
        };
        let open = match location {
            None => None,
            Some(location) => Some(opened(&location).await),
        };
        let in_memory = || Arc::new(MemoryHub::new(new_epoch())) as Arc<dyn HubStore>;
        let store = open.as_ref().map_or_else(in_memory, OpenStore::store);
        let listener = TcpListener::bind(self.address).await.expect("the address is free");
        let address = listener.local_addr().expect("a bound listener has an address");
        let stop = CancellationToken::new();
        let hub = Hub::new(Arc::clone(&store))
            .with_config(self.config)
            .with_clock((&self.clock).into())
            .with_access(self.access);
        let hub = match self.tls {
            Some(tls) => hub.with_tls(tls),
            None => hub,
        };
        let hub = match self.checkpoint_key {
            Some(key) => hub.with_checkpoint_key(key),
            None => hub,
        };
        let serving = hub.serve(listener, stop.clone());
        let serving = tokio::spawn(async { serving.await.expect("the hub serves") });
        let clock = self.clock;
        TestHub { address, store, open, clock, stop, serving, _folder: folder, _database: database }
    }
}

/// A store that is ready and open.
async fn opened(location: &Location) -> OpenStore {
    OpenStore::prepare(location).await.expect("the store can be made ready");
    OpenStore::open(location).await.expect("the store opens")
}

fn new_epoch() -> chablon_store::Epoch {
    Uuid::new_v4().to_string().parse().expect("a UUID is a token")
}

impl TestHub {
    /// A hub to be.
    pub fn builder(keeping: Keeping) -> TestHubBuilder {
        let config = HubConfig { stop_within: Duration::from_secs(2), ..HubConfig::default() };
        let address = SocketAddr::from((Ipv4Addr::LOCALHOST, 0));
        let (clock, access) = (TestClock::default(), Access::Open);
        TestHubBuilder { keeping, config, clock, address, access, tls: None, checkpoint_key: None }
    }

    /// Starts a hub with the usual bounds and a clock that stands still.
    pub async fn start(keeping: Keeping) -> Self {
        Self::builder(keeping).start().await
    }

    /// Where it serves.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Where it serves, as an address of a client.
    pub fn url(&self) -> String {
        format!("http://{}", self.address)
    }

    /// Its clock.
    pub fn clock(&self) -> &TestClock {
        &self.clock
    }

    /// Its store.
    pub fn store(&self) -> &Arc<dyn HubStore> {
        &self.store
    }

    /// Takes all that decides nothing from now on out of the views of sites.
    pub async fn compact(&self) -> Compacted {
        let now = self.clock.now();
        let compacted = compact(Arc::clone(&self.store), Moment(now.0 + 1), now).await;
        compacted.expect("the store can be compacted")
    }

    /// Lets somebody in, and gives the token by which that one calls.
    pub async fn let_in(&self, name: &str, role: Role, site: Option<&str>) -> AccessToken {
        self.let_in_until(name, role, site, None).await
    }

    /// The same, with a token that ends by itself.
    pub async fn let_in_until(
        &self,
        name: &str,
        role: Role,
        site: Option<&str>,
        token_expires_at: Option<Moment>,
    ) -> AccessToken {
        let (id, at) = (Uuid::new_v4().to_string(), Clock::from(&self.clock).now());
        let code_digest = digest_of(id.as_bytes());
        let enrolment = NewEnrolment {
            request: Request { id: id.parse().expect("a UUID is a token"), digest: code_digest },
            at,
            by: Actor { name: "the test".to_owned(), role: None },
            name: name.parse().expect("a name"),
            role,
            site: site.map(|site| site.parse().expect("a site")),
            enrolment: id.parse().expect("a UUID is a token"),
            code_digest,
            expires_at: Moment(at.0 + 1000),
            token_expires_at,
        };
        let code = enrolment.enrolment.clone();
        self.store.prepare_enrolment(enrolment).await.expect("a new account");
        let token = AccessToken::new(&*id, code_digest.0).expect("a UUID names a token");
        let kept = NewToken { id: id.parse().expect("a UUID is a token"), digest: token.digest() };
        let attempt = Attempt { at, enrolment: code, code_digest, token: kept };
        self.store.enrol(attempt).await.expect("the code is good");
        token
    }

    /// A new connection to it.
    pub async fn channel(&self) -> Channel {
        connect(&self.url()).await
    }

    /// Tells it to stop, without waiting.
    pub fn tell_to_stop(&self) {
        self.stop.cancel();
    }

    /// Stops it, closes its store, and says how it stopped.
    pub async fn stop(mut self) -> Stopped {
        self.stop.cancel();
        let stopped = (&mut self.serving).await.expect("the hub doesn't panic");
        if let Some(store) = &self.open {
            store.close().await;
        }
        stopped
    }
}

impl Drop for TestHub {
    /// Cuts it off, as a fallen machine would.
    fn drop(&mut self) {
        self.serving.abort();
    }
}

/// A connection to an address such as `http://127.0.0.1:7467`.
pub(crate) async fn connect(url: &str) -> Channel {
    let endpoint = Endpoint::from_shared(url.to_owned()).expect("an address");
    endpoint.connect().await.expect("the hub takes connections")
}
