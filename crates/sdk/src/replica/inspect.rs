//! What a replica that trusts a root holds a stretch of the feed to, before it takes it.

use std::collections::BTreeSet;

use chablon_model::{Checkpoint, Digest, DocumentContent, Entry, GroupId, SiteId};
use chablon_store::NewCheckpoint;
use chablon_trust::{
    Chain, Listed, Payload, TrustError, addresses_all, goes_on, groups_of, in_force_matches,
    not_for_others, nothing_lost, nothing_twice,
};
use chablon_wire::FeedCursor;

use super::pin::{Trusting, to_store};
use super::{Replica, read};
use crate::{Change, Changes, Error, FrozenRevision, SignedBytes};

/// What was seen of a view so far, in order.
#[derive(Clone, Debug)]
pub(super) struct Seen {
    entries: Vec<Entry>,
    bodies: Vec<(u64, Digest)>,
    chain: Chain,
    /// Up to which position it was seen, where it is seen from its beginning. What goes on from
    /// something else must join it entry by entry.
    from_the_start: Option<u64>,
}

impl Seen {
    /// Nothing, of a view that is read from its beginning.
    pub(super) fn nothing() -> Self {
        let (entries, bodies, chain) = (Vec::new(), Vec::new(), Chain::new());
        Self { entries, bodies, chain, from_the_start: Some(0) }
    }

    /// What a replica holds, up to where the kept checkpoint vouches for it.
    pub(super) async fn held_by(replica: &Replica) -> Result<Self, Error> {
        let mut seen = Self::nothing();
        if let Some(mark) = replica.trusting().await?.and_then(|trusting| trusting.mark) {
            (seen.chain, seen.from_the_start) = (Chain::vouched(mark.chain), None);
        }
        for stored in replica.store.entries().await.map_err(Error::of_store)? {
            seen.push(read(&stored)?.at_site(&replica.site), stored.body.digest);
        }
        Ok(seen)
    }

    fn push(&mut self, entry: Entry, body: Digest) {
        self.bodies.push((entry.position, body));
        self.entries.push(entry);
    }

    fn last(&self) -> u64 {
        self.bodies.last().map_or(0, |(position, _)| *position)
    }

    /// Carries the chain on to a checkpoint over the entries from an index on. The snapshot with
    /// which a compacted view begins isn't part of it: its end is taken from the checkpoint.
    fn carry_on(&mut self, from: usize, checkpoint: &Checkpoint) {
        let snapshot = checkpoint.snapshot.filter(|snapshot| {
            self.from_the_start.is_some_and(|reached| reached < snapshot.position)
        });
        let mut after = 0;
        if let Some(snapshot) = snapshot {
            (after, self.chain) = (snapshot.position, Chain::vouched(snapshot.chain));
            if checkpoint.position < snapshot.position {
                self.chain = Chain::vouched(checkpoint.chain);
            }
        }
        let entries = self.entries[from..].iter().zip(&self.bodies[from..]);
        for (entry, (position, body)) in entries.filter(|(_, (position, _))| *position > after) {
            self.chain = self.chain.then(*position, Payload::of(&entry.body), body);
        }
        self.from_the_start = self.from_the_start.map(|_| checkpoint.position);
    }

    /// Whether nothing is missing that was held before and addresses the site now.
    pub(super) fn lacks_nothing_of(
        &self,
        before: &Self,
        kept: &Checkpoint,
        shown: &Checkpoint,
        groups: &BTreeSet<GroupId>,
    ) -> Result<(), TrustError> {
        nothing_lost(before.listed(), self.listed(), kept, shown, groups)
    }

    fn listed(&self) -> Listed<'_> {
        Listed { entries: &self.entries, bodies: &self.bodies }
    }
}

/// A checkpoint that vouches for what was seen.
#[derive(Clone, Debug)]
pub(super) struct Vouched {
    /// What it says.
    pub(super) checkpoint: Checkpoint,
    /// As it is kept.
    pub(super) kept: NewCheckpoint,
}

/// Whether a stretch after what was seen is honest. It is then seen as well.
///
/// `mark` is the checkpoint from which it must go on, where there is one.
pub(super) fn inspect(
    trusting: &Trusting,
    mark: Option<&Checkpoint>,
    site: &SiteId,
    seen: &mut Seen,
    changes: &Changes,
) -> Result<Vouched, TrustError> {
    let last = seen.last();
    for change in changes.entries.iter().filter(|change| change.position > last) {
        trusting.root.verify_entry(Payload::of(&change.says), &body(change))?;
    }
    let shown = changes.checkpoint.as_ref().ok_or(TrustError::Unvouched)?;
    let checkpoint = trusting.root.checkpoint(shown)?;
    about(&checkpoint, site, &changes.next)?;
    mark.map_or(Ok(()), |mark| goes_on(mark, &checkpoint))?;
    let (mut after, known) = (seen.clone(), seen.entries.len());
    for change in changes.entries.iter().filter(|change| change.position > last) {
        let entry = change.entry().at_site(site);
        not_for_others(&entry, site)?;
        after.push(entry, change.digest);
    }
    after.carry_on(known, &checkpoint);
    nothing_twice(after.bodies.iter().copied())?;
    if after.chain.digest() != checkpoint.chain {
        return Err(TrustError::OtherChain { position: checkpoint.position });
    }
    in_force_matches(&checkpoint, &after.entries, !changes.more)?;
    *seen = after;
    let kept = NewCheckpoint { frozen: to_store(shown), issued_at: checkpoint.issued_at };
    Ok(Vouched { checkpoint, kept })
}

fn body(change: &Change) -> SignedBytes {
    let Change { bytes, digest, signatures, .. } = change.clone();
    SignedBytes { bytes, digest, signatures }
}

/// Whether a checkpoint is about what came with it.
fn about(checkpoint: &Checkpoint, site: &SiteId, next: &FeedCursor) -> Result<(), TrustError> {
    let view = next.view.map(|view| view.to_string()).unwrap_or_default();
    let fields = [
        ("site", site.to_string(), checkpoint.site.to_string()),
        ("history", next.epoch.clone(), checkpoint.epoch.clone()),
        ("view", view, checkpoint.view.to_string()),
        ("position", next.position.to_string(), checkpoint.position.to_string()),
    ];
    let other = fields.into_iter().find(|(_, expected, found)| expected != found);
    other.map_or(Ok(()), |(field, expected, found)| {
        Err(TrustError::OtherCheckpoint { field, expected, found })
    })
}

impl Replica {
    /// Whether all that was seen addresses the site, by the groups that its own document gives it.
    /// That document must be held. Gives the groups.
    pub(super) async fn addressed(&self, seen: &Seen) -> Result<BTreeSet<GroupId>, Error> {
        let groups = match groups_of(&seen.entries, &self.site) {
            None => BTreeSet::new(),
            Some(stated_by) => {
                let held = self.store.revision(stated_by.digest).await.map_err(Error::of_store)?;
                let bytes = held.map(|held| held.bytes).unwrap_or_default();
                let revision = FrozenRevision::checked(stated_by.clone(), bytes)?.read()?;
                match revision.content {
                    DocumentContent::Site(site) => site.groups.into_iter().collect(),
                    _ => BTreeSet::new(),
                }
            }
        };
        addresses_all(&seen.entries, &self.site, &groups)?;
        Ok(groups)
    }
}
