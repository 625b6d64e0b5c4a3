//! Whether the parts of a release fit together, and show nobody what isn't theirs.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use chablon_model::{
    Audience, Digest, DocumentContent, DocumentKey, GroupId, Manifest, ReleaseId, RevisionRef,
    SiteId, Visibility,
};
use chablon_store::SiteRecord;
use chablon_wire::{At, Violation};

use super::{ReleaseError, Submission};
use crate::Exchange;
use crate::bodies::{BodyError, item};

/// How many stored revisions are looked up at a time, their bytes included.
const STEP: usize = 64;

/// The release of these parts, if they are all of one release and no document is in two of them.
pub(super) fn coherent(parts: &[Manifest]) -> Result<ReleaseId, ReleaseError> {
    let Some(first) = parts.first() else {
        let violations = vec![Violation::new("needs at least one part").at("parts")];
        return Err(BodyError::Invalid { revision: None, violations }.into());
    };
    let mut documents = BTreeMap::new();
    for (index, part) in parts.iter().enumerate() {
        same_release(first, part, index, parts.len())
            .and_then(|()| same_time(parts, part))
            .and_then(|()| each_once(&mut documents, part))
            .map_err(|violation| ReleaseError::Incoherent {
                release: first.release.clone(),
                part: part.part,
                violation: violation.at(&item("parts", index)),
            })?;
    }
    Ok(first.release.clone())
}

fn same_release(
    first: &Manifest,
    part: &Manifest,
    index: usize,
    count: usize,
) -> Result<(), Violation> {
    let differs = |field: &str| Err(Violation::new("differs from part 1").at(field));
    if usize::try_from(part.part) != Ok(index + 1) {
        return Err(
            Violation::new(format!("must be {}, its place in the list", index + 1)).at("part")
        );
    }
    if usize::try_from(part.part_count) != Ok(count) {
        return Err(
            Violation::new(format!("must be {count}, as many as there are")).at("part_count")
        );
    }
    match part {
        _ if part.release != first.release => differs("release_id"),
        _ if part.note != first.note => differs("note"),
        _ if part.author != first.author => differs("author"),
        _ => Ok(()),
    }
}

/// Refuses a part that holds from another moment than the others. Only one that addresses a single
/// site may, and then it holds from the moment that the others have for that site.
fn same_time(parts: &[Manifest], part: &Manifest) -> Result<(), Violation> {
    let alone = part.audience.only_site();
    if alone.is_some() && !part.at_sites.is_empty() {
        let reason = "must be empty in a part for one site, whose moment is `holds_from_ms`";
        return Err(Violation::new(reason).at("at_sites"));
    }
    let Some(common) = parts.iter().find(|part| part.audience.only_site().is_none()) else {
        return Ok(());
    };
    let due = alone.map_or(common.holds_from, |site| common.holds_from_at(site));
    let differs =
        |field: &str| Err(Violation::new(format!("differs from part {}", common.part)).at(field));
    match alone {
        _ if part.holds_from != due => differs("holds_from_ms"),
        None if part.at_sites != common.at_sites => differs("at_sites"),
        _ => Ok(()),
    }
}

/// Refuses a document that stands in an earlier part.
fn each_once<'m>(
    documents: &mut BTreeMap<&'m DocumentKey, u32>,
    part: &'m Manifest,
) -> Result<(), Violation> {
    for (place, reference) in part.items.iter().enumerate() {
        if let Some(other) = documents.insert(&reference.key, part.part) {
            let reason = format!("`{}` is in part {other} already", reference.key);
            return Err(Violation::new(reason).at(&item("items", place)));
        }
    }
    Ok(())
}

impl Exchange {
    /// Refuses items that aren't there, and those that are shown to more than may see them.
    pub(super) async fn check_items(&self, submission: &Submission) -> Result<(), ReleaseError> {
        let visible = self.visibilities(submission).await?;
        for (index, part) in submission.manifests.iter().enumerate() {
            for (place, reference) in part.items.iter().enumerate() {
                let path = || format!("{}.{}", item("parts", index), item("items", place));
                match visible.get(&reference.digest) {
                    Some((known, visibility)) if known == reference => {
                        narrow_enough(part, reference, visibility, path)?;
                    }
                    _ => return Err(missing(reference, path())),
                }
            }
        }
        Ok(())
    }

    /// Who may read the revisions that a release names.
    async fn visibilities(
        &self,
        submission: &Submission,
    ) -> Result<HashMap<Digest, (RevisionRef, Visibility)>, ReleaseError> {
        let mut known: HashMap<Digest, (RevisionRef, Visibility)> = HashMap::new();
        for one in &submission.revisions {
            let visibility = one.revision.content.visibility();
            known.insert(one.reference.digest, (one.reference.clone(), visibility));
        }
        let items = submission.manifests.iter().flat_map(|part| &part.items);
        let others: BTreeSet<Digest> =
            items.map(|item| item.digest).filter(|digest| !known.contains_key(digest)).collect();
        let others: Vec<Digest> = others.into_iter().collect();
        for step in others.chunks(STEP) {
            let stored = self.held(step).await?;
            known.extend(
                stored
                    .into_iter()
                    .map(|one| (one.reference.digest, (one.reference, one.visible_to))),
            );
        }
        Ok(known)
    }

    /// Groups and sites that are addressed and that no site document names.
    pub(super) async fn unknown_addressees(
        &self,
        submission: &Submission,
    ) -> Result<BTreeSet<String>, ReleaseError> {
        let audiences = submission.manifests.iter().map(|part| &part.audience);
        let addressed: BTreeSet<String> = audiences.flat_map(addressees).collect();
        if addressed.is_empty() {
            return Ok(addressed);
        }
        let mut known = BTreeSet::new();
        for SiteRecord { site, groups, .. } in self.store.sites().await? {
            known.extend(names(&groups, [&site]));
        }
        for submitted in &submission.revisions {
            if let DocumentContent::Site(site) = &submitted.revision.content {
                known.extend(names(&site.groups, [&site.id]));
            }
        }
        Ok(addressed.difference(&known).cloned().collect())
    }
}

fn addressees(audience: &Audience) -> BTreeSet<String> {
    match audience {
        Audience::All => BTreeSet::new(),
        Audience::Of { groups, sites } => names(groups, sites),
    }
}

/// Groups and sites told apart, for they may have the same id.
fn names<'a>(
    groups: impl IntoIterator<Item = &'a GroupId>,
    sites: impl IntoIterator<Item = &'a SiteId>,
) -> BTreeSet<String> {
    let groups = groups.into_iter().map(|group| format!("group `{group}`"));
    groups.chain(sites.into_iter().map(|site| format!("site `{site}`"))).collect()
}

/// Refuses a site's own document in a part that addresses others, too.
fn narrow_enough(
    part: &Manifest,
    reference: &RevisionRef,
    visibility: &Visibility,
    path: impl Fn() -> String,
) -> Result<(), ReleaseError> {
    match visibility {
        Visibility::Site(site) if part.audience != Audience::site(site.clone()) => {
            Err(ReleaseError::TooWide {
                document: reference.key.clone(),
                site: site.clone(),
                part: part.part,
                path: path(),
            })
        }
        _ => Ok(()),
    }
}

/// The refusal of a revision that is named and isn't there.
pub(super) fn missing(reference: &RevisionRef, path: String) -> ReleaseError {
    ReleaseError::Missing { reference: Box::new(reference.clone()), path }
}
