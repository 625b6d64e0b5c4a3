//! What kitchens that leave groups would make again.

use std::collections::BTreeSet;

use chablon_change::Leaving;
use chablon_model::{
    DocumentKey, DocumentKind, Entry, EntryBody, Manifest, Moment, RevisionRef, Standing,
    Withdrawal, standings,
};

use super::Client;
use crate::Error;
use crate::where_used::Shelf;

/// What would be in force again at a site that leaves groups, or in use without a caution.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct InForceAgain {
    /// The site, and its groups.
    pub leaving: Leaving,
    /// What it would no longer know to be withdrawn, by revision; at least one.
    pub withdrawn: Vec<Untold>,
}

/// A withdrawal that a site would no longer see.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Untold {
    /// The withdrawal.
    pub withdrawal: Withdrawal,
    /// Whether what was withdrawn would itself be in force.
    pub in_force: bool,
    /// The recipes in force there that use it, sorted.
    pub used_by: Vec<RevisionRef>,
}

impl Client {
    /// What was withdrawn from groups alone and would be in force again at sites that leave them, or
    /// in use there without a caution, once these parts of a release are recorded, at a moment or
    /// later. A site whose document isn't among the parts stays in its groups.
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
        let recorded = self.whole_feed().await?;
        let mut all = Vec::new();
        for one in leaving {
            let withdrawn = self.untold(one, &recorded, parts, at).await?;
            if !withdrawn.is_empty() {
                all.push(InForceAgain { leaving: one.clone(), withdrawn });
            }
        }
        Ok(all)
    }

    async fn untold(
        &self,
        leaving: &Leaving,
        recorded: &[Entry],
        parts: &[Manifest],
        at: Moment,
    ) -> Result<Vec<Untold>, Error> {
        let entries = [recorded, &entries_of(parts, recorded)].concat();
        let again = leaving.in_force_again(&entries, at);
        let mut lost = leaving.untold(&entries, at);
        lost.retain(|one| !again.contains(one));
        if again.is_empty() && lost.is_empty() {
            return Ok(Vec::new());
        }
        // What the release brings pins the latest of everything, and isn't on the hub yet.
        let known: BTreeSet<&RevisionRef> = recorded.iter().flat_map(items).collect();
        let mut stay = recipes_in_force(&leaving.seen(&entries, &leaving.groups.after), at);
        stay.retain(|one| known.contains(one));
        let mut stock = Shelf::default();
        self.fill(&mut stock, stay.clone()).await?;
        let told = |withdrawal: Withdrawal, in_force| {
            let of = &withdrawal.revision;
            let users = stay.iter().filter(|one| *one != of && stock.reaches(one, of));
            let used_by: Vec<RevisionRef> = users.cloned().collect();
            Untold { withdrawal, in_force, used_by }
        };
        let again = again.into_iter().map(|one| told(one, true));
        let lost = lost.into_iter().map(|one| told(one, false));
        let mut all: Vec<Untold> =
            again.chain(lost.filter(|one| !one.used_by.is_empty())).collect();
        all.sort_by(|a, b| a.withdrawal.revision.cmp(&b.withdrawal.revision));
        Ok(all)
    }
}

/// Parts of a release as they will follow a feed.
fn entries_of(parts: &[Manifest], feed: &[Entry]) -> Vec<Entry> {
    let end = feed.iter().map(|entry| entry.position).max().unwrap_or_default();
    let parts = parts.iter().cloned().map(EntryBody::Release);
    (end + 1..).zip(parts).map(|(position, body)| Entry { position, body }).collect()
}

fn items(entry: &Entry) -> &[RevisionRef] {
    match &entry.body {
        EntryBody::Release(manifest) => &manifest.items,
        EntryBody::Withdrawal(_) | EntryBody::Deviation(_) => &[],
    }
}

/// The recipes that are in force by a site's entries, sorted.
fn recipes_in_force(entries: &[Entry], at: Moment) -> Vec<RevisionRef> {
    let each = standings(entries, at).into_values().filter_map(|standing| match standing {
        Standing::InForce { revision, .. } => Some(revision.clone()),
        Standing::None | Standing::Stopped { .. } => None,
    });
    let recipes = each.filter(|one| one.key.kind == DocumentKind::Recipe);
    recipes.collect::<BTreeSet<_>>().into_iter().collect()
}
