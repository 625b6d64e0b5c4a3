//! The SDK against real hubs in the test's own process.

mod access;
mod at_kitchen;
mod attacks;
mod bundles;
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
mod lots;
mod machine;
mod moments;
mod offline;
mod publish;
mod signing;
mod site_time;
mod sync;
mod trusting;
mod where_used;
