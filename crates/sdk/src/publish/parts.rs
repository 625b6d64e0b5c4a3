//! The parts of a release: what all addressed sites get, and what only one gets.

use std::collections::BTreeMap;

use chablon_model::{Audience, Manifest, ReleaseId, RevisionRef, SiteId, Visibility};
use chablon_wire::{MAX_PARTS, decode_manifest, encode_manifest};

use super::Terms;
use super::site_time::HoldsFrom;
use crate::Error;
use crate::error::Kind;

/// The manifests of a release of these revisions: none of none.
pub(crate) fn manifests(
    items: Vec<(RevisionRef, Visibility)>,
    terms: &Terms,
    holds_from: &HoldsFrom,
    release: &ReleaseId,
) -> Result<Vec<Manifest>, Error> {
    let mut common = Vec::new();
    let mut own: BTreeMap<SiteId, Vec<RevisionRef>> = BTreeMap::new();
    for (item, visible_to) in items {
        match visible_to {
            Visibility::Everyone => common.push(item),
            Visibility::Site(site) => own.entry(site).or_default().push(item),
        }
    }
    let common = (!common.is_empty()).then(|| (terms.audience.clone(), common));
    let own = own.into_iter().map(|(site, items)| (Audience::site(site), items));
    let parts: Vec<_> = common.into_iter().chain(own).collect();
    let part_count = count(parts.len())?;
    let manifest = |(part, (audience, mut items)): (u32, (Audience, Vec<RevisionRef>))| {
        items.sort();
        let alone = audience.only_site().cloned();
        checked(&Manifest {
            release: release.clone(),
            part,
            part_count,
            audience,
            holds_from: alone.as_ref().map_or(holds_from.otherwise, |site| holds_from.at(site)),
            at_sites: if alone.is_some() { BTreeMap::new() } else { holds_from.others() },
            items,
            note: terms.note.clone(),
            author: terms.author.clone(),
        })
    };
    (1..).zip(parts).map(manifest).collect()
}

fn count(parts: usize) -> Result<u32, Error> {
    u32::try_from(parts).ok().filter(|parts| *parts <= MAX_PARTS).ok_or_else(|| {
        let hint = "release in several goes";
        let message = format!(
            "the release would have {parts} parts, one a site, and {MAX_PARTS} are possible; {hint}"
        );
        Error::new(Kind::Invalid, message)
    })
}

/// The manifest as its bytes are read again, which the hub would refuse if they couldn't be.
fn checked(manifest: &Manifest) -> Result<Manifest, Error> {
    decode_manifest(&encode_manifest(manifest))
        .map_err(|error| Error::of_content(&error).while_doing("the release"))
}
