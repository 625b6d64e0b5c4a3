//! Who is on what: how far a kitchen is with what is in force for it.

use std::collections::BTreeMap;

use chablon_model::{
    Deviation, DocumentKey, Entry, EntryBody, Moment, SiteId, Standing, View, in_force, standings,
};
use chablon_wire::{Adoption, Standard, StandardState};
use futures::TryStreamExt;

use super::Client;
use crate::deviations::ByLeave;
use crate::{Error, decided_by};

/// What is in force of a document at a kitchen, and how far the kitchen is with it.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Adopted {
    /// What is in force.
    pub standard: Standard,
    /// How far the kitchen is, by what it said.
    pub kitchen: HowFar,
    /// What the kitchen has leave to make otherwise, by id.
    pub by_leave: Vec<ByLeave>,
}

impl Adopted {
    /// What the kitchen should go by.
    pub fn due(&self) -> GoesBy {
        match &self.standard.state {
            StandardState::InForce(in_force) => GoesBy::Revision(in_force.revision.number),
            StandardState::Stopped(_) => GoesBy::MakeNone,
        }
    }

    /// Since when the kitchen goes by something that no longer holds, as far as is known here;
    /// nothing where it doesn't, or where only its word is missing.
    pub fn stale_since(&self) -> Option<Moment> {
        match self.kitchen {
            HowFar::Behind { since, by } if by != self.due() => Some(since),
            _ => None,
        }
    }
}

/// How far a kitchen is with a standard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum HowFar {
    /// It works by it.
    InUse {
        /// Since when.
        since: Moment,
    },
    /// It has it, and hasn't said that it works by it.
    Received {
        /// Since when.
        since: Moment,
    },
    /// It doesn't work by it.
    Refused {
        /// Since when.
        since: Moment,
        /// Why, as the kitchen says.
        reason: String,
    },
    /// It hasn't said that it has it.
    Behind {
        /// Since when something holds that the kitchen hasn't got.
        since: Moment,
        /// What it goes by meanwhile.
        by: GoesBy,
    },
}

/// What a kitchen goes by: what is in force by all that it has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GoesBy {
    /// The revision of this number.
    Revision(u32),
    /// It makes none.
    MakeNone,
    /// It has nothing of the document.
    Nothing,
}

impl GoesBy {
    fn of(standing: &Standing<'_>) -> Self {
        match standing {
            Standing::InForce { revision, .. } => Self::Revision(revision.number),
            Standing::Stopped { .. } => Self::MakeNone,
            Standing::None => Self::Nothing,
        }
    }
}

impl Client {
    /// What is in force at a kitchen at a moment, with how far the kitchen is, by all that it has
    /// said until now. Sorted by kind and then by id.
    ///
    /// # Errors
    /// [`Error::is_not_found`] where the hub knows no such site.
    pub async fn adopted(&self, site: &SiteId, at: Moment) -> Result<Vec<Adopted>, Error> {
        let view = self.all_changes(&View::Site(site.clone())).await?;
        let entries = view.entries.iter().map(|one| one.entry().at_site(site));
        let entries: Vec<Entry> = entries.collect();
        let said = self.said_of(site, &entries).await?;
        Ok(adopted(&entries, &said, at))
    }

    /// What a site has said, by position.
    async fn said_of(
        &self,
        site: &SiteId,
        entries: &[Entry],
    ) -> Result<BTreeMap<u64, Adoption>, Error> {
        let positions = || entries.iter().map(|entry| entry.position);
        let Some((first, last)) = positions().min().zip(positions().max()) else {
            return Ok(BTreeMap::new());
        };
        let said: Vec<Adoption> = self.adoption(Some(site), first..=last).try_collect().await?;
        Ok(said.into_iter().map(|one| (one.position, one)).collect())
    }
}

fn adopted(entries: &[Entry], said: &BTreeMap<u64, Adoption>, at: Moment) -> Vec<Adopted> {
    let has =
        |entry: &Entry| said.get(&entry.position).is_some_and(|one| one.received_at.is_some());
    let (held, lacking): (Vec<Entry>, Vec<Entry>) = entries.iter().cloned().partition(has);
    let deviations: Vec<Deviation> =
        chablon_model::decided(entries, at).into_values().map(|(_, one)| one.clone()).collect();
    let rows = standings(entries, at).into_iter().filter_map(|(key, standing)| {
        let decided = decided_by(entries, &standing)?;
        let behind = || HowFar::Behind {
            since: lacks_since(&lacking, key, at),
            by: GoesBy::of(&in_force(&held, key, at)),
        };
        let kitchen = said.get(&decided).and_then(word).unwrap_or_else(behind);
        let standard = Standard::of(key.clone(), &standing)?;
        let by_leave = ByLeave::from(&deviations, &standard, at);
        Some(Adopted { standard, kitchen, by_leave })
    });
    rows.collect()
}

/// What a kitchen says of an entry. Of a use and a refusal the later one counts.
fn word(said: &Adoption) -> Option<HowFar> {
    let used = said.in_use_at;
    if let Some((since, reason)) = said.refused.clone()
        && used.is_none_or(|used| used < since)
    {
        return Some(HowFar::Refused { since, reason });
    }
    let received = || said.received_at.map(|since| HowFar::Received { since });
    used.map(|since| HowFar::InUse { since }).or_else(received)
}

/// The first moment from which something holds of a document that the kitchen hasn't got.
fn lacks_since(lacking: &[Entry], key: &DocumentKey, at: Moment) -> Moment {
    let since = lacking.iter().filter_map(|entry| match &entry.body {
        EntryBody::Release(manifest) => {
            manifest.items.iter().any(|item| item.key == *key).then_some(manifest.holds_from)
        }
        EntryBody::Withdrawal(one) => (one.revision.key == *key).then_some(one.holds_from),
        EntryBody::Deviation(_) => None,
    });
    since.filter(|since| *since <= at).min().unwrap_or(at)
}
