//! The use cases of a hub over a store and a clock: release, withdraw, catch up, adopt.
