//! Stores in memory, for tests and simulations.
//!
//! Their operations never wait, so a simulation that drives them is deterministic, and a future
//! that was begun is also ended.

use std::collections::{BTreeSet, HashMap};
use std::sync::{Mutex, MutexGuard, PoisonError};

use chablon_model::Digest;

mod hub;
mod replica;

pub use hub::MemoryHub;
pub use replica::MemoryReplica;

/// Locks a state. A change is checked in full before the first write, so that even the lock of a
/// thread that panicked guards a sound state.
fn lock<T>(state: &Mutex<T>) -> MutexGuard<'_, T> {
    state.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The digests and all that is reached from them by pins, known or not.
fn reach<'p>(
    from: impl IntoIterator<Item = Digest>,
    pins: impl Fn(&Digest) -> Option<&'p [Digest]>,
) -> BTreeSet<Digest> {
    let mut reached = BTreeSet::new();
    let mut ahead: Vec<Digest> = from.into_iter().collect();
    while let Some(digest) = ahead.pop() {
        if reached.insert(digest) {
            ahead.extend(pins(&digest).unwrap_or_default());
        }
    }
    reached
}

/// The values under these keys, in the order of the keys.
fn pick<V, T>(from: &HashMap<Digest, V>, keys: &[Digest], value: impl Fn(&V) -> T) -> Vec<T> {
    keys.iter().filter_map(|key| from.get(key)).map(value).collect()
}
