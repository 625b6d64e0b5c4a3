//! The SDK against real hubs in the test's own process.

mod access;
mod common;
mod compaction;
mod connect;
mod damage;
mod deviations;
mod drafts;
mod faults;
mod figures;
mod follow;
mod liar;
mod lies;
mod life;
mod machine;
mod offline;
mod publish;
mod site_time;
mod sync;
mod where_used;
