//! The stores of a hub and of a kitchen on SQLite.
//!
//! Each is one file (with two more beside it while it is open) in write-ahead mode, with one
//! connection that writes and a few that read. A change takes the write lock at its beginning
//! (`BEGIN IMMEDIATE`): a lock that is taken at the first write instead fails under load, since two
//! readers that both want to write can't wait for each other. `synchronous=FULL`: what was answered
//! outlives a loss of power.
//!
//! Several processes may open one file. SQLite itself is built in.

mod backup;
mod database;
mod fault;
mod hub;
mod many;
mod replica;
mod values;

pub use backup::BackupError;
pub use hub::SqliteHub;
pub use replica::SqliteReplica;
