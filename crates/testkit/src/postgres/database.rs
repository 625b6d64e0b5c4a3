//! A database for a test.

use std::env;
use std::sync::OnceLock;
use std::thread;

use sqlx::postgres::{PgConnectOptions, PgConnection};
use sqlx::{AssertSqlSafe, ConnectOptions, Connection, Executor};
use tokio::runtime;
use tokio::task::spawn_blocking;
use uuid::Uuid;

use super::Cluster;

/// The database from which others are made.
const FIRST: &str = "postgres";

/// An empty database, which goes with this.
#[derive(Debug)]
pub struct TestDatabase {
    name: String,
    server: PgConnectOptions,
    url: String,
}

impl TestDatabase {
    /// Makes one on the server of `CHABLON_POSTGRES_URL`, or else on the private server of this
    /// process.
    pub async fn create() -> Self {
        match env::var("CHABLON_POSTGRES_URL") {
            Ok(url) => Self::on(&url).await,
            Err(_) => Self::of(shared().await).await,
        }
    }

    /// Makes one on a private server.
    pub async fn of(cluster: &Cluster) -> Self {
        Self::on(&cluster.url(FIRST)).await
    }

    /// Makes one on a server that is known by the URL of one of its databases.
    async fn on(server: &str) -> Self {
        let server: PgConnectOptions = server.parse().expect("the URL of a PostgreSQL server");
        let name = format!("chablon_test_{}", Uuid::new_v4().simple());
        let url = server.clone().database(&name).to_url_lossy().into();
        let test = Self { name, server, url };
        test.tell("CREATE DATABASE").await;
        test
    }

    /// Its URL.
    pub fn url(&self) -> &str {
        &self.url
    }

    /// A connection of one's own, to look at it from outside.
    pub async fn connect(&self) -> PgConnection {
        let options: PgConnectOptions = self.url.parse().expect("the database's URL");
        options.connect().await.expect("the server takes connections")
    }

    async fn tell(&self, what: &str) {
        let mut connection = self.server.connect().await.expect("the server takes connections");
        // The name was made above, of letters and digits.
        let sql = AssertSqlSafe(format!("{what} {}", self.name));
        connection.execute(sql).await.expect("the server's user may make databases");
        connection.close().await.expect("the connection was sound");
    }

    async fn remove(&self) -> Result<(), sqlx::Error> {
        let mut connection = self.server.connect().await?;
        let sql = AssertSqlSafe(format!("DROP DATABASE {} WITH (FORCE)", self.name));
        connection.execute(sql).await?;
        connection.close().await
    }
}

impl Drop for TestDatabase {
    /// In a thread of its own, since the test's runtime can't be waited for here. Where the server
    /// is gone by now the database is too.
    fn drop(&mut self) {
        thread::scope(|scope| {
            scope.spawn(|| {
                let runtime = runtime::Builder::new_current_thread().enable_all().build();
                _ = runtime.map(|runtime| runtime.block_on(self.remove()));
            });
        });
    }
}

/// The private server of this process. It ends with the process.
async fn shared() -> &'static Cluster {
    static CLUSTER: OnceLock<Cluster> = OnceLock::new();
    spawn_blocking(|| CLUSTER.get_or_init(Cluster::start)).await.expect("the server starts")
}
