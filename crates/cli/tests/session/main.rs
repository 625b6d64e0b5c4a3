//! Whole sessions of the command line: what is typed, what both streams say, how it ends.
//!
//! Each session works in a folder of its own, on a copy of the Saltmarsh book. What differs from
//! run to run (folders, ports, times, digests) is replaced before a session is compared.

mod access;
mod bench;

mod check;
mod cost;
mod declare;
mod demo;
mod deviations;
mod drafts;
mod hub;
mod reckon;
mod refusals;
mod replica;
mod scale;
mod shock;
mod trust;
