//! What is in force for a site at a moment.

use std::collections::{BTreeMap, BTreeSet};

use crate::{
    Deviation, DeviationId, DocumentKey, GroupId, Manifest, Moment, NextStep, RevisionRef, SiteId,
    View, Withdrawal,
};

/// An entry of the feed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    /// Its place in the feed, from 1.
    pub position: u64,
    /// What it says.
    pub body: EntryBody,
}

/// What an entry of the feed says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum EntryBody {
    /// Revisions are put in force.
    Release(Manifest),
    /// A revision is taken back.
    Withdrawal(Withdrawal),
    /// A deviation was decided.
    Deviation(Deviation),
}

impl Entry {
    /// The entry as one site's view has it: a release holds from the site's own moment. Whoever
    /// asks what is in force at a site asks it of entries like this.
    #[must_use]
    pub fn at_site(mut self, site: &SiteId) -> Self {
        if let EntryBody::Release(manifest) = &mut self.body {
            manifest.holds_from = manifest.holds_from_at(site);
            manifest.at_sites.clear();
        }
        self
    }

    /// The entry as a view has it.
    #[must_use]
    pub fn in_view(self, view: &View) -> Self {
        match view {
            View::Whole => self,
            View::Site(site) => self.at_site(site),
        }
    }
}

impl EntryBody {
    /// Whether it concerns a site that belongs to these groups.
    pub fn addresses(&self, site: &SiteId, groups: &BTreeSet<GroupId>) -> bool {
        match self {
            Self::Release(manifest) => manifest.audience.addresses(site, groups),
            Self::Withdrawal(withdrawal) => withdrawal.audience.addresses(site, groups),
            Self::Deviation(deviation) => deviation.site == *site,
        }
    }
}

/// What holds of a document at a moment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Standing<'a> {
    /// Nothing was ever released, or not yet.
    None,
    /// This revision is the standard.
    InForce {
        /// The revision.
        revision: &'a RevisionRef,
        /// The release that put it in force, or the one that a withdrawal takes back.
        release: &'a Manifest,
        /// The position of that release.
        position: u64,
        /// The withdrawal that went back to this revision.
        because: Option<&'a Withdrawal>,
    },
    /// It was withdrawn: make none until further notice.
    Stopped {
        /// The withdrawal that says so.
        because: &'a Withdrawal,
    },
}

/// What of one document is in force at a moment, among the entries of a site's view.
///
/// The latest release wins: by the moment from which it holds, then by position. A withdrawal
/// that holds by then, stands later in the feed and names the winning revision takes it back; so
/// a later release of the same revision stands. The entries may come in any order.
pub fn in_force<'a>(entries: &'a [Entry], key: &DocumentKey, at: Moment) -> Standing<'a> {
    let candidate = releases(entries, at)
        .flat_map(|(position, manifest)| {
            manifest.items.iter().map(move |item| (position, manifest, item))
        })
        .filter(|(_, _, item)| item.key == *key)
        .max_by_key(|(position, manifest, _)| (manifest.holds_from, *position));
    match candidate {
        None => Standing::None,
        Some((position, release, item)) => after_withdrawals(entries, at, position, release, item),
    }
}

/// What is in force of every document that the entries ever released.
pub fn standings(entries: &[Entry], at: Moment) -> BTreeMap<&DocumentKey, Standing<'_>> {
    let mut latest = BTreeMap::new();
    for (position, manifest) in releases(entries, at) {
        for item in &manifest.items {
            let found = (manifest.holds_from, position, manifest, item);
            let kept = latest.entry(&item.key).or_insert(found);
            if (kept.0, kept.1) < (found.0, found.1) {
                *kept = found;
            }
        }
    }
    let standing = |(key, (_, position, manifest, item))| {
        (key, after_withdrawals(entries, at, position, manifest, item))
    };
    latest.into_iter().map(standing).collect()
}

/// The deviations that were decided by a moment, each as the last decision by then has it, with the
/// position of that decision.
///
/// What a deviation comes to at the moment is for [`Deviation::standing`] to say.
pub fn decided(entries: &[Entry], at: Moment) -> BTreeMap<&DeviationId, (u64, &Deviation)> {
    let mut last: BTreeMap<&DeviationId, (u64, &Deviation)> = BTreeMap::new();
    for entry in entries {
        let EntryBody::Deviation(one) = &entry.body else { continue };
        let known = last.get(&one.id).map_or(0, |(position, _)| *position);
        if one.decision.at().is_some_and(|decided| decided <= at) && entry.position > known {
            last.insert(&one.id, (entry.position, one));
        }
    }
    last
}

fn releases(entries: &[Entry], at: Moment) -> impl Iterator<Item = (u64, &Manifest)> {
    entries.iter().filter_map(move |entry| match &entry.body {
        EntryBody::Release(manifest) if manifest.holds_from <= at => {
            Some((entry.position, manifest))
        }
        _ => None,
    })
}

/// Follows withdrawals from a released revision to what holds instead.
///
/// Each step takes a withdrawal that stands later in the feed than the last, so it ends.
fn after_withdrawals<'a>(
    entries: &'a [Entry],
    at: Moment,
    position: u64,
    release: &'a Manifest,
    item: &'a RevisionRef,
) -> Standing<'a> {
    let mut revision = item;
    let mut since = position;
    let mut because = None;
    while let Some((taken_at, withdrawal)) = withdrawal_of(entries, at, since, revision) {
        match &withdrawal.next {
            NextStep::MakeNone => return Standing::Stopped { because: withdrawal },
            NextStep::GoBackTo(earlier) => revision = earlier,
        }
        since = taken_at;
        because = Some(withdrawal);
    }
    Standing::InForce { revision, release, position, because }
}

/// The last withdrawal of a revision that stands after a position and holds by the moment.
fn withdrawal_of<'a>(
    entries: &'a [Entry],
    at: Moment,
    since: u64,
    revision: &RevisionRef,
) -> Option<(u64, &'a Withdrawal)> {
    entries
        .iter()
        .filter(|entry| entry.position > since)
        .filter_map(|entry| match &entry.body {
            EntryBody::Withdrawal(withdrawal) if withdrawal.holds_from <= at => {
                Some((entry.position, withdrawal))
            }
            _ => None,
        })
        .filter(|(_, withdrawal)| withdrawal.revision == *revision)
        .max_by_key(|(position, _)| *position)
}
