//! What kitchens that leave groups would make again.

use std::collections::BTreeSet;

use chablon_change::Leaving;
use chablon_model::{DocumentKey, Entry, EntryBody, Manifest, Moment, Withdrawal};

use super::Client;
use crate::Error;

/// What would be in force again at a site that leaves groups.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct InForceAgain {
    /// The site, and its groups.
    pub leaving: Leaving,
    /// The withdrawals that it would no longer see, by revision; at least one.
    pub withdrawn: Vec<Withdrawal>,
}

impl Client {
    /// What was withdrawn from groups alone and would be in force again at sites that leave them,
    /// once these parts of a release are recorded, at a moment or later. A site whose document
    /// isn't among the parts stays in its groups.
    ///
    /// Withdraw it from the site, too, or from everybody, before it leaves.
    pub async fn in_force_again(
        &self,
        leaving: &[Leaving],
        parts: &[Manifest],
        at: Moment,
    ) -> Result<Vec<InForceAgain>, Error> {
        let released: BTreeSet<&DocumentKey> =
            parts.iter().flat_map(|part| &part.items).map(|item| &item.key).collect();
        let is_released = |one: &&Leaving| released.contains(&DocumentKey::from(&one.site));
        let leaving: Vec<&Leaving> = leaving.iter().filter(is_released).collect();
        if leaving.is_empty() {
            return Ok(Vec::new());
        }
        let mut entries = self.whole_feed().await?;
        append(&mut entries, parts);
        let of = |one: &&Leaving| {
            let withdrawn = one.in_force_again(&entries, at);
            (!withdrawn.is_empty())
                .then(|| InForceAgain { leaving: Leaving::clone(one), withdrawn })
        };
        Ok(leaving.iter().filter_map(of).collect())
    }
}

/// Puts parts of a release at the end of a feed.
fn append(entries: &mut Vec<Entry>, parts: &[Manifest]) {
    let end = entries.iter().map(|entry| entry.position).max().unwrap_or_default();
    let parts = parts.iter().cloned().map(EntryBody::Release);
    entries.extend((end + 1..).zip(parts).map(|(position, body)| Entry { position, body }));
}
