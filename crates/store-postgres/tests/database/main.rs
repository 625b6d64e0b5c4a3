//! The store among others: hubs beside it, callers that give up, a server that falls.

mod cancelling;
mod falling;
mod opening;
mod racing;
mod samples;
mod several;
