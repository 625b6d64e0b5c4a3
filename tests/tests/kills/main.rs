//! Processes killed at random moments: nothing is half-applied, nothing acknowledged is lost.

mod common;
mod hub;
mod kitchen;
