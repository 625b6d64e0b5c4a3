//! PostgreSQL for tests: a private server, and a database for each test.
//!
//! The server is made of the installed binaries, runs as a user without rights where the tests are
//! root, and serves on a free port of 127.0.0.1 from a folder of its own. All of it is gone when the
//! test's process has ended, however that ended.
//!
//! Where `CHABLON_POSTGRES_URL` is set, databases are made on that server instead. Its user must be
//! allowed to make them.

mod binaries;
mod cluster;
mod database;

pub use cluster::Cluster;
pub use database::TestDatabase;
