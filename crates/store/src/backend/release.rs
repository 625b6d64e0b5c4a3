//! Whether a release fits what a hub holds.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use chablon_model::{Digest, DocumentKey, DocumentKind, RevisionRef};

use super::check_frozen;
use crate::{Frozen, HubError, NewPart, NewRevision, ReleaseCommit};

/// What a store must look up before it takes a release.
#[derive(Clone, Debug, Default)]
pub struct KnownToRelease {
    /// The latest number of each document of which the commit has a revision.
    pub heads: BTreeMap<DocumentKey, u32>,
    /// Those of [`KnownToRelease::digests`] that are stored.
    pub held: HashMap<Digest, RevisionRef>,
    /// Whether the feed has a release of this id.
    pub release_exists: bool,
}

impl KnownToRelease {
    /// The documents whose latest number is needed.
    pub fn documents(commit: &ReleaseCommit) -> BTreeSet<&DocumentKey> {
        commit.revisions.iter().map(|revision| &revision.reference.key).collect()
    }

    /// All revisions that a commit refers to.
    pub fn digests(commit: &ReleaseCommit) -> BTreeSet<Digest> {
        let revisions = commit.revisions.iter();
        let stored = revisions.clone().map(|revision| &revision.reference);
        let pins = revisions.flat_map(|revision| &revision.pins);
        let items = commit.parts.iter().flat_map(|part| &part.manifest.items);
        stored.chain(pins).chain(items).map(|reference| reference.digest).collect()
    }

    fn holds(&self, reference: &RevisionRef) -> bool {
        self.held.get(&reference.digest) == Some(reference)
    }
}

/// Whether a commit is whole in itself.
///
/// # Errors
/// [`HubError::Malformed`], [`HubError::DigestMismatch`].
pub fn check_release(commit: &ReleaseCommit) -> Result<(), HubError> {
    check_parts(&commit.parts)?;
    commit.revisions.iter().try_for_each(check_revision)?;
    commit.parts.iter().try_for_each(|part| {
        let manifest = &part.manifest;
        check_frozen(
            || format!("part {} of release {}", manifest.part, manifest.release),
            &part.body,
        )
    })
}

fn check_parts(parts: &[NewPart]) -> Result<(), HubError> {
    let malformed = |what: String| Err(HubError::Malformed(what));
    let Some(first) = parts.first() else {
        return malformed("a release needs at least one part".to_owned());
    };
    for (part, number) in parts.iter().map(|part| &part.manifest).zip(1u32..) {
        let release = &part.release;
        if *release != first.manifest.release {
            return malformed(format!(
                "part {number} belongs to release {release}, part 1 to {}; send one at a time",
                first.manifest.release
            ));
        }
        if part.part != number || usize::try_from(part.part_count) != Ok(parts.len()) {
            return malformed(format!(
                "release {release}: part {} of {} stands where part {number} of {} belongs",
                part.part,
                part.part_count,
                parts.len()
            ));
        }
        check_items(&part.items, || format!("release {release}, part {number}"))?;
    }
    Ok(())
}

fn check_items(items: &[RevisionRef], place: impl Fn() -> String) -> Result<(), HubError> {
    if items.is_empty() {
        return Err(HubError::Malformed(format!("{} puts nothing in force", place())));
    }
    let mut documents = BTreeSet::new();
    match items.iter().find(|item| !documents.insert(&item.key)) {
        Some(twice) => Err(HubError::Malformed(format!("{} lists {} twice", place(), twice.key))),
        None => Ok(()),
    }
}

fn check_revision(revision: &NewRevision) -> Result<(), HubError> {
    let NewRevision { reference, bytes, .. } = revision;
    let describes_site = reference.key.kind == DocumentKind::Site;
    if revision.site_groups.is_some() != describes_site {
        return Err(HubError::Malformed(format!(
            "`{}`: groups are stated by site documents and by no others",
            reference.key
        )));
    }
    let frozen = Frozen::stated(reference.digest, bytes.clone());
    check_frozen(|| format!("revision {} of `{}`", reference.number, reference.key), &frozen)
}

/// The revisions of a commit that are to be stored, in order; the others are stored already.
///
/// # Errors
/// [`HubError::ReleaseIdReused`], [`HubError::Conflict`], [`HubError::MissingPin`],
/// [`HubError::MissingRevision`], [`HubError::Malformed`].
pub fn new_revisions(
    commit: &ReleaseCommit,
    mut known: KnownToRelease,
) -> Result<Vec<&NewRevision>, HubError> {
    if let (true, Some(part)) = (known.release_exists, commit.parts.first()) {
        return Err(HubError::ReleaseIdReused(part.manifest.release.clone()));
    }
    let mut new = Vec::new();
    for revision in &commit.revisions {
        if is_new(&revision.reference, &mut known)? {
            new.push(revision);
        }
    }
    check_pins(&new, &known)?;
    let mut items = commit.parts.iter().flat_map(|part| &part.manifest.items);
    match items.find(|item| !known.holds(item)) {
        Some(item) => Err(HubError::MissingRevision(Box::new(item.clone()))),
        None => Ok(new),
    }
}

/// Whether a revision is to be stored; it then counts as held, for those after it in the commit.
fn is_new(reference: &RevisionRef, known: &mut KnownToRelease) -> Result<bool, HubError> {
    if known.holds(reference) {
        return Ok(false);
    }
    let expected = known.heads.get(&reference.key).map_or(1, |latest| latest + 1);
    if reference.number != expected {
        let (key, found) = (reference.key.clone(), reference.number);
        return Err(HubError::Conflict { key, expected, found });
    }
    if let Some(other) = known.held.insert(reference.digest, reference.clone()) {
        return Err(HubError::Malformed(format!(
            "`{}` has the very bytes of revision {} of `{}`",
            reference.key, other.number, other.key
        )));
    }
    known.heads.insert(reference.key.clone(), reference.number);
    Ok(true)
}

fn check_pins(new: &[&NewRevision], known: &KnownToRelease) -> Result<(), HubError> {
    let pins = new.iter().flat_map(|revision| revision.pins.iter().map(move |pin| (revision, pin)));
    match { pins }.find(|(_, pin)| !known.holds(pin)) {
        None => Ok(()),
        Some((revision, pin)) => Err(HubError::MissingPin {
            revision: Box::new(revision.reference.clone()),
            pin: Box::new(pin.clone()),
        }),
    }
}
