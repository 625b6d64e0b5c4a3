//! The store of a hub on PostgreSQL (15 or later), for several hubs at once.
//!
//! Any number of hubs may open one database; a kitchen may speak to whichever it likes. Bring the
//! tables up to date first, as a step of its own: [`migrate`]. A hub that finds them behind or ahead
//! of what it knows doesn't open.
//!
//! - **Order.** A change is one transaction (READ COMMITTED) whose last statement moves the one
//!   counter. Whoever moves it waits there for the commit of the one before, so positions are dense
//!   and become visible in their order. Little is written from then on until the commit.
//! - **Conflicts** are found by unique constraints and row locks. A change that runs into another
//!   one is tried again from its beginning, a bounded number of times, and what it then finds
//!   decides. It is also tried again when the connection is lost, for its request's name tells
//!   whether it was done.
//! - **Dropped calls.** A change runs in a task of its own, to its end. A read may stop anywhere; no
//!   connection goes back to a pool before whatever it was in the middle of is rolled back.
//! - **News** of other hubs' commits comes by `NOTIFY`. That is a hint: the counter is looked at
//!   from time to time regardless.
//! - **Time.** No operation takes longer than [`PostgresConfig::time_limit`] a try, even where the
//!   way to the database is cut without a word. The server lets go of a hub that falls silent in
//!   the middle of a change.
//!
//! What is answered is on the server's disk; `synchronous_commit = off` is overruled. Back the
//! database up as any other, and open a restored one by [`PostgresHub::open_restored`].
//!
//! Connect to the server itself: behind a pooler that hands a connection on between transactions
//! neither prepared statements nor `LISTEN` work.

mod config;
mod database;
mod fault;
mod follow;
mod hub;
mod migrations;
mod values;

pub use config::PostgresConfig;
pub use hub::PostgresHub;
pub use migrations::migrate;
