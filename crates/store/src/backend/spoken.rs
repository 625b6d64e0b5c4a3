//! What a kitchen has said, when its view is listed anew.

use std::collections::{BTreeMap, HashMap};

use chablon_model::Digest;

use crate::{CatchUp, Said};

/// A statement that a kitchen keeps.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spoken {
    /// What is said.
    pub said: Said,
    /// The digest of the entry's body.
    pub body_digest: Digest,
    /// Whether the hub has it.
    pub sent: bool,
}

/// The statements that are kept when a whole view replaces the old one.
///
/// An entry is found again by its body, as a restored hub may have given it another position. Under
/// another epoch all is to be sent once more, for the restored hub may have lost it. A statement
/// about an entry that is no longer listed is dropped: the hub would refuse it for ever.
pub fn carried_over(spoken: &[Spoken], whole: &CatchUp, same_epoch: bool) -> Vec<Spoken> {
    let mut places: HashMap<Digest, Vec<u64>> = HashMap::new();
    for entry in &whole.entries {
        places.entry(entry.body.digest).or_default().push(entry.position);
    }
    let mut kept: BTreeMap<_, Spoken> = BTreeMap::new();
    for old in spoken {
        let Some(places) = places.get(&old.body_digest) else { continue };
        let stays = places.contains(&old.said.position);
        let position = if stays { old.said.position } else { places[0] };
        let said = Said { position, ..old.said.clone() };
        let key = (position, said.statement);
        let sent = old.sent && stays && same_epoch;
        let new = Spoken { said, sent, body_digest: old.body_digest };
        match kept.get(&key) {
            Some(known) if !new.said.renews(&known.said) => {}
            _ => drop(kept.insert(key, new)),
        }
    }
    kept.into_values().collect()
}
