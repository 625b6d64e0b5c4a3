//! What the chef was told is recorded. Nobody else writes into the feed, so this is the feed as it
//! must be, and what of it each site must see: known without asking any hub.

use std::collections::{BTreeMap, BTreeSet};

use chablon_sdk::deviations::DecisionDraft;
use chablon_sdk::model::{
    Audience, Decision, DocumentContent, DocumentKey, DocumentKind, Entry, EntryBody, GroupId,
    Manifest, NextStep, RevisionRef, SiteId, Standing, Withdrawal, standings,
};
use chablon_sdk::publish::{Draft, WithdrawalDraft};
use chablon_sdk::{Error, Recorded};

use crate::scene::NOW;

/// The feed by all that was acknowledged.
#[derive(Debug, Default)]
pub(crate) struct Ledger {
    entries: Vec<Entry>,
    /// The revision of each site's own document that counts.
    sites: BTreeMap<SiteId, RevisionRef>,
    /// The groups that each of those revisions states.
    groups: BTreeMap<RevisionRef, BTreeSet<GroupId>>,
    /// Whether there is no more to come.
    finished: bool,
}

impl Ledger {
    /// All of it, in order.
    pub(crate) fn entries(&self) -> &[Entry] {
        &self.entries
    }

    fn position(&self) -> u64 {
        self.entries.len() as u64
    }

    /// The last position, once there is no more to come.
    pub(crate) fn end(&self) -> Option<u64> {
        self.finished.then(|| self.position())
    }

    /// There is no more to come.
    pub(crate) fn finish(&mut self) {
        self.finished = true;
    }

    /// A release was acknowledged.
    pub(crate) fn released(&mut self, draft: &Draft, recorded: &Recorded) -> Result<(), Error> {
        for frozen in draft.revisions() {
            if let DocumentContent::Site(site) = frozen.read()?.content {
                self.groups.insert(frozen.reference().clone(), site.groups.into_iter().collect());
            }
        }
        for item in draft.parts().iter().flat_map(|part| &part.items) {
            if item.key.kind == DocumentKind::Site {
                self.sites.insert(SiteId::from(&item.key.id), item.clone());
            }
        }
        self.record(recorded, draft.parts().iter().cloned().map(EntryBody::Release));
        Ok(())
    }

    /// A withdrawal was acknowledged. With a site's own document its groups are taken back.
    pub(crate) fn withdrawn(&mut self, draft: &WithdrawalDraft, recorded: &Recorded) {
        let Withdrawal { revision, next, .. } = draft.withdrawal();
        if let NextStep::GoBackTo(earlier) = next {
            for current in self.sites.values_mut().filter(|current| *current == revision) {
                *current = earlier.clone();
            }
        }
        self.record(recorded, [EntryBody::Withdrawal(draft.withdrawal().clone())]);
    }

    /// A decision was acknowledged.
    pub(crate) fn decided(&mut self, draft: &DecisionDraft, recorded: &Recorded) {
        self.record(recorded, [EntryBody::Deviation(draft.deviation().clone())]);
    }

    fn record(&mut self, recorded: &Recorded, bodies: impl IntoIterator<Item = EntryBody>) {
        let first = self.position() + 1;
        let entries = (first..).zip(bodies).map(|(position, body)| Entry { position, body });
        self.entries.extend(entries);
        let Recorded { first_position, last_position, .. } = *recorded;
        assert_eq!((first_position, last_position), (first, self.position()), "{recorded:?}");
    }

    /// What a site must see, as it has it.
    pub(crate) fn view_of(&self, site: &SiteId) -> Vec<Entry> {
        let groups = self.sites.get(site).and_then(|current| self.groups.get(current));
        let groups = groups.cloned().unwrap_or_default();
        let concerns = |entry: &&Entry| entry.body.addresses(site, &groups);
        self.entries.iter().filter(concerns).map(|entry| entry.clone().at_site(site)).collect()
    }

    /// The released revisions of a document, in order, each with the entry that released it.
    pub(crate) fn releases_of<'l>(
        &'l self,
        key: &'l DocumentKey,
    ) -> impl Iterator<Item = (&'l RevisionRef, &'l Manifest)> {
        self.entries.iter().filter_map(move |entry| match &entry.body {
            EntryBody::Release(manifest) => {
                Some((manifest.items.iter().find(|item| item.key == *key)?, manifest))
            }
            EntryBody::Withdrawal(_) | EntryBody::Deviation(_) => None,
        })
    }

    /// What came about, so that nobody takes for tried what never was.
    pub(crate) fn came_about(&self) -> BTreeSet<&'static str> {
        let stops = self.sites.keys().any(|site| {
            let view = self.view_of(site);
            let stopped = |standing: &Standing<'_>| matches!(standing, Standing::Stopped { .. });
            standings(&view, NOW).values().any(stopped)
        });
        let said = self.entries.iter().map(|entry| kind(&entry.body));
        said.chain(stops.then_some("stopped in the end")).collect()
    }
}

fn kind(body: &EntryBody) -> &'static str {
    match body {
        EntryBody::Release(manifest) if manifest.holds_from > NOW => "released from later on",
        EntryBody::Release(Manifest { audience: Audience::All, .. }) => "released to all",
        EntryBody::Release(_) => "released to some",
        EntryBody::Withdrawal(one) if one.revision.key.kind == DocumentKind::Site => "groups back",
        EntryBody::Withdrawal(Withdrawal { next: NextStep::MakeNone, .. }) => "stopped",
        EntryBody::Withdrawal(_) => "gone back",
        EntryBody::Deviation(one) if matches!(one.decision, Decision::Granted(_)) => "granted",
        EntryBody::Deviation(_) => "refused",
    }
}

/// All that may come about.
pub(crate) const KINDS: [&str; 9] = [
    "granted",
    "gone back",
    "groups back",
    "refused",
    "released from later on",
    "released to all",
    "released to some",
    "stopped",
    "stopped in the end",
];
