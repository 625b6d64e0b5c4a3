//! Which entries of the feed decide nothing any more.

use std::collections::{BTreeMap, BTreeSet};

use crate::{Audience, DocumentKey, Entry, EntryBody, Manifest, Moment};

/// The entries up to a position that a site's view can do without: from a moment on, what is in
/// force at any site is the same with them and without.
///
/// A release decides nothing where each of its documents was released later, for whoever it
/// addresses, and that holds by the moment. Where sites have moments of their own, all must lie
/// apart: the last of the one before the first of the other. Withdrawals and decisions on deviations stay. So does the last entry for each that
/// is ever addressed (all, a group, a site): the entries that follow name it as the one before them,
/// whatever groups a site is in.
///
/// The entries are those of the whole feed, in any order.
pub fn superseded(entries: &[Entry], up_to: u64, from: Moment) -> BTreeSet<u64> {
    let releases = || {
        entries.iter().filter_map(|entry| match &entry.body {
            EntryBody::Release(manifest) => Some((entry.position, manifest)),
            EntryBody::Withdrawal(_) | EntryBody::Deviation(_) => None,
        })
    };
    let later = LaterReleases::by(from, releases());
    let last = last_of_each(entries, up_to);
    releases()
        .filter(|(position, _)| *position <= up_to && !last.contains(position))
        .filter(|(position, manifest)| later.cover(*position, manifest))
        .map(|(position, _)| position)
        .collect()
}

/// What decides between releases of a document: from when they hold, and then their position.
type Rank = (Moment, u64);

/// Releases that hold by a moment, by their documents.
#[derive(Clone, Debug, Default)]
pub struct LaterReleases<'e>(BTreeMap<&'e DocumentKey, Vec<(Rank, &'e Audience)>>);

impl<'e> LaterReleases<'e> {
    /// Those of some releases, each with its position, that hold by a moment.
    pub fn by(from: Moment, releases: impl IntoIterator<Item = (u64, &'e Manifest)>) -> Self {
        let mut later = Self::default();
        for (position, manifest) in releases {
            if manifest.span().1 <= from {
                later.note(position, manifest);
            }
        }
        later
    }

    fn note(&mut self, position: u64, manifest: &'e Manifest) {
        for item in &manifest.items {
            let held = ((manifest.span().0, position), &manifest.audience);
            self.0.entry(&item.key).or_default().push(held);
        }
    }

    /// Whether each document of a release was released later for all whom it addresses: it then
    /// decides nothing any more.
    pub fn cover(&self, position: u64, manifest: &Manifest) -> bool {
        let place = (manifest.span().1, position);
        manifest.items.iter().all(|item| {
            let mut of_document = self.0.get(&item.key).into_iter().flatten();
            of_document.any(|(other, to)| *other > place && to.covers(&manifest.audience))
        })
    }
}

/// The last entry up to a position for each that is addressed by a name of its own.
fn last_of_each(entries: &[Entry], up_to: u64) -> BTreeSet<u64> {
    let mut last: BTreeMap<(u8, &str), u64> = BTreeMap::new();
    for entry in entries.iter().filter(|entry| entry.position <= up_to) {
        for name in addressed(&entry.body) {
            let place = last.entry(name).or_default();
            *place = entry.position.max(*place);
        }
    }
    last.into_values().collect()
}

fn addressed(body: &EntryBody) -> Vec<(u8, &str)> {
    match body {
        EntryBody::Release(manifest) => names(&manifest.audience),
        EntryBody::Withdrawal(withdrawal) => names(&withdrawal.audience),
        EntryBody::Deviation(deviation) => vec![(2, deviation.site.as_str())],
    }
}

fn names(audience: &Audience) -> Vec<(u8, &str)> {
    match audience {
        Audience::All => vec![(0, "")],
        Audience::Of { groups, sites } => {
            let groups = groups.iter().map(|group| (1, group.as_str()));
            groups.chain(sites.iter().map(|site| (2, site.as_str()))).collect()
        }
    }
}
