//! The hub through a real client, on every store.

mod adoption;
mod compaction;
mod documents;
mod feed;
mod figures;
mod release_arithmetic;
mod release_declared;
mod release_refusals;
mod releases;
mod standards;
mod stop;
mod support;
mod surface;
mod watch;
mod withdrawals;
