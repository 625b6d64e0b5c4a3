//! What realistic changes of a real book mean, as its chef would read it.

mod book;
mod cascade;
mod changes;
mod deviations;
mod mirror;
mod mutate;
mod properties;
