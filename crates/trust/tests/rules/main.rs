//! The rules of trust, without a hub: roots, checkpoints, views, keys at rest.

mod checkpoints;
mod files;
mod keys;
mod roots;
mod samples;
mod views;
