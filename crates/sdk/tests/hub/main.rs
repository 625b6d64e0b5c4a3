//! The SDK against real hubs in the test's own process.

mod common;
mod connect;
mod damage;
mod faults;
mod figures;
mod follow;
mod machine;
mod offline;
mod publish;
mod sync;
