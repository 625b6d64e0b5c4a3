//! Whether entries make up an honest view.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{
    Audience, Checkpoint, Digest, DocumentKey, Entry, EntryBody, GroupId, LaterReleases, Manifest,
    NextStep, RevisionRef, SiteId,
};

use crate::TrustError;

/// The revision of a site's own document that decides its groups: the one that was released last, or
/// the one that a withdrawal of it went back to.
pub fn groups_of<'e>(entries: &'e [Entry], site: &SiteId) -> Option<&'e RevisionRef> {
    let own = DocumentKey::from(site);
    let mut current: Option<&RevisionRef> = None;
    for entry in entries {
        match &entry.body {
            EntryBody::Release(manifest) => {
                current = manifest.items.iter().find(|item| item.key == own).or(current);
            }
            EntryBody::Withdrawal(withdrawal) => {
                if let (NextStep::GoBackTo(earlier), true) =
                    (&withdrawal.next, current == Some(&withdrawal.revision))
                {
                    current = Some(earlier);
                }
            }
            EntryBody::Deviation(_) => {}
        }
    }
    current
}

/// Whether all entries address a site that belongs to these groups.
pub fn addresses_all(
    entries: &[Entry],
    site: &SiteId,
    groups: &BTreeSet<GroupId>,
) -> Result<(), TrustError> {
    let other = entries.iter().find(|entry| !entry.body.addresses(site, groups));
    other.map_or(Ok(()), |entry| Err(TrustError::NotAddressed { position: entry.position }))
}

/// Whether an entry isn't for other sites alone. Whom its groups take in isn't asked here: they are
/// known once all of a view is.
pub fn not_for_others(entry: &Entry, site: &SiteId) -> Result<(), TrustError> {
    let audience = match &entry.body {
        EntryBody::Release(manifest) => Cow::Borrowed(&manifest.audience),
        EntryBody::Withdrawal(withdrawal) => Cow::Borrowed(&withdrawal.audience),
        EntryBody::Deviation(deviation) => Cow::Owned(Audience::site(deviation.site.clone())),
    };
    match audience.as_ref() {
        Audience::Of { groups, sites } if groups.is_empty() && !sites.contains(site) => {
            Err(TrustError::NotAddressed { position: entry.position })
        }
        _ => Ok(()),
    }
}

/// Whether no body is there twice. Positions with the digests of their bodies, in order.
pub fn nothing_twice(bodies: impl IntoIterator<Item = (u64, Digest)>) -> Result<(), TrustError> {
    let mut first_at = BTreeMap::new();
    for (position, body) in bodies {
        if let Some(first) = first_at.insert(body, position) {
            return Err(TrustError::Repeated { position, first });
        }
    }
    Ok(())
}

/// Entries of a view by position, each with its position and the digest of its body beside it.
#[derive(Clone, Copy, Debug)]
pub struct Listed<'e> {
    /// The entries.
    pub entries: &'e [Entry],
    /// Their positions and the digests of their bodies, in the same order.
    pub bodies: &'e [(u64, Digest)],
}

/// Whether a view that is listed anew still has every entry that was held and addresses the site by
/// its groups now, in the order in which they were held.
///
/// Where the view begins with a snapshot, releases are excepted that decide nothing beside what is
/// listed. Positions of two histories can't be compared, so what wasn't held counts as earlier there
/// if it holds from the same moment.
pub fn nothing_lost(
    held: Listed<'_>,
    listed: Listed<'_>,
    kept: &Checkpoint,
    shown: &Checkpoint,
    groups: &BTreeSet<GroupId>,
) -> Result<(), TrustError> {
    let same_history = kept.epoch == shown.epoch;
    let passed = match shown.snapshot {
        None => 0,
        Some(snapshot) if same_history => snapshot.position,
        Some(_) => u64::MAX,
    };
    let later = LaterReleases::by(shown.issued_at, ranked(held, listed, same_history));
    let places: BTreeMap<&Digest, u64> =
        listed.bodies.iter().map(|(at, body)| (body, *at)).collect();
    let (mut reached, mut lost) = (0, Vec::new());
    for (entry, (position, body)) in held.entries.iter().zip(held.bodies) {
        match (places.get(body), release(entry)) {
            _ if !entry.body.addresses(&shown.site, groups) => {}
            (Some(at), _) if *at < reached => return Err(TrustError::OtherOrder { position: *at }),
            (Some(at), _) => reached = *at,
            (None, Some(it)) if *position <= passed && later.cover(*position, it) => {}
            (None, _) => lost.push(*position),
        }
    }
    match lost.first() {
        None => Ok(()),
        Some(&first) => Err(TrustError::EntriesLost { count: lost.len(), first }),
    }
}

/// The releases that are listed, each at the position at which it was held.
fn ranked<'e>(
    held: Listed<'e>,
    listed: Listed<'e>,
    same_history: bool,
) -> impl Iterator<Item = (u64, &'e Manifest)> {
    let held: BTreeMap<&Digest, u64> = held.bodies.iter().map(|(at, body)| (body, *at)).collect();
    listed.entries.iter().zip(listed.bodies).filter_map(move |(entry, (position, body))| {
        let unheld = if same_history { *position } else { 0 };
        Some((held.get(body).copied().unwrap_or(unheld), release(entry)?))
    })
}

fn release(entry: &Entry) -> Option<&Manifest> {
    match &entry.body {
        EntryBody::Release(manifest) => Some(manifest),
        EntryBody::Withdrawal(_) | EntryBody::Deviation(_) => None,
    }
}
