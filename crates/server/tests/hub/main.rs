//! The hub through a real client, on every store.

mod adoption;
mod compaction;
mod documents;
mod feed;
mod figures;
mod joining;
mod kitchen;
mod matrix;
mod raw;
mod release_arithmetic;
mod release_declared;
mod release_refusals;
mod releases;
mod standards;
mod stop;
mod support;
mod surface;
mod tls;
mod watch;
mod withdrawals;
