//! Documents in the order in which they can be frozen: what is used before what uses it.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{DocumentContent, DocumentKey};

use crate::Error;
use crate::error::Kind;

/// Documents by key.
pub(super) type Documents<'a> = BTreeMap<DocumentKey, &'a DocumentContent>;

/// The documents by key.
pub(super) fn index(documents: &[DocumentContent]) -> Result<Documents<'_>, Error> {
    let mut by_key = BTreeMap::new();
    for content in documents {
        let key = content.key();
        if by_key.insert(key.clone(), content).is_some() {
            return Err(Error::new(
                Kind::Invalid,
                format!("`{key}` is there twice; give one of them another id"),
            ));
        }
    }
    Ok(by_key)
}

/// The keys of the documents, each after all that it uses among them; of several that are ready the
/// smallest first.
pub(super) fn in_order(documents: &Documents<'_>) -> Result<Vec<DocumentKey>, Error> {
    let order = ready(documents);
    if order.len() == documents.len() { Ok(order) } else { Err(loop_among(documents, &order)) }
}

/// The same, without what stands in a loop or uses one.
pub(super) fn ready(documents: &Documents<'_>) -> Vec<DocumentKey> {
    let mut waits: BTreeMap<&DocumentKey, usize> = BTreeMap::new();
    let mut users: BTreeMap<DocumentKey, Vec<&DocumentKey>> = BTreeMap::new();
    for (key, content) in documents {
        let used = content.uses().into_iter().filter(|used| documents.contains_key(used));
        let count = used.map(|used| users.entry(used).or_default().push(key)).count();
        waits.insert(key, count);
    }
    let free = waits.iter().filter(|(_, count)| **count == 0);
    let mut ready: BTreeSet<&DocumentKey> = free.map(|(key, _)| *key).collect();
    let mut order = Vec::with_capacity(documents.len());
    while let Some(key) = ready.pop_first() {
        for user in users.get(key).into_iter().flatten() {
            let count = waits.get_mut(user).expect("every document was counted");
            *count -= 1;
            if *count == 0 {
                ready.insert(user);
            }
        }
        order.push(key.clone());
    }
    order
}

/// Names a loop: from any document that was never ready, what it waits for, until one comes again.
fn loop_among(documents: &Documents<'_>, order: &[DocumentKey]) -> Error {
    let done: BTreeSet<&DocumentKey> = order.iter().collect();
    let open = |key: &DocumentKey| documents.contains_key(key) && !done.contains(key);
    let mut path: Vec<DocumentKey> =
        documents.keys().filter(|key| open(key)).take(1).cloned().collect();
    while let Some(next) = path.last().and_then(|key| documents[key].uses().into_iter().find(open))
    {
        if let Some(start) = path.iter().position(|key| *key == next) {
            path.drain(..start);
            path.push(next);
            break;
        }
        path.push(next);
    }
    let names: Vec<String> = path.iter().map(|key| format!("`{key}`")).collect();
    let names = names.join(" -> ");
    Error::new(
        Kind::Invalid,
        format!("these documents use each other in a loop: {names}; take one of them out of it"),
    )
}
