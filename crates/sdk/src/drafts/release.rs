//! A draft made ready to be released.

use std::collections::BTreeMap;

use chablon_model::{
    Digest, DocumentContent, DraftId, Manifest, ReleaseId, Site, SiteId, Visibility,
};
use chablon_store::RequestId;
use chablon_trust::{Payload, SigningKey, sign};
use chablon_wire::encode_manifest;

use super::Proposed;
use crate::publish::{self, HoldsFrom, Names, Terms, manifests};
use crate::{Error, SignedBytes};

/// A release of a draft that was made ready and not sent.
///
/// [`Client::release_draft`](crate::Client::release_draft) sends it. Sent twice it is still one
/// release.
#[derive(Clone, Debug)]
pub struct DraftRelease {
    pub(crate) names: Names,
    pub(crate) draft: DraftId,
    pub(crate) etag: Digest,
    parts: Vec<Manifest>,
    /// Their bytes.
    frozen: Vec<SignedBytes>,
}

impl DraftRelease {
    /// Makes a release of all that a draft holds ready. What concerns one site alone is left out
    /// where the terms don't address that site.
    ///
    /// `base` is what the revisions say that the draft was made on; of it the sites are looked at.
    ///
    /// # Errors
    /// [`Error::is_unsupported`], [`Error::is_invalid`] where the terms say nothing.
    pub fn new(
        proposed: &Proposed,
        base: &[DocumentContent],
        terms: &Terms,
        names: Names,
    ) -> Result<Self, Error> {
        let contents = proposed.contents()?;
        let sites = sites(&contents, base);
        let mut items = Vec::new();
        for (revision, content) in proposed.revisions.iter().zip(&contents) {
            let visibility = content.visibility();
            let addressed = match &visibility {
                Visibility::Everyone => true,
                Visibility::Site(site) => {
                    let groups = sites.get(site).map(|site| site.groups.iter().cloned().collect());
                    terms.audience.addresses(site, &groups.unwrap_or_default())
                }
            };
            if addressed {
                items.push((revision.reference().clone(), visibility));
            }
        }
        let holds_from = HoldsFrom::of(terms, sites.into_values())?;
        let parts = manifests(items, terms, &holds_from, &names.release)?;
        let (draft, etag) = (proposed.draft.id.clone(), proposed.draft.etag);
        let frozen = parts.iter().map(encode_manifest).map(publish::frozen).collect();
        Ok(Self { names, draft, etag, parts, frozen })
    }

    /// The release's id.
    pub fn release(&self) -> &ReleaseId {
        &self.names.release
    }

    /// What would be sent, for whom.
    pub fn parts(&self) -> &[Manifest] {
        &self.parts
    }

    /// Signs it with a release key. Where a group's root wants several keys, each signs.
    pub fn sign(&mut self, key: &SigningKey) {
        for part in &mut self.frozen {
            sign(part, Payload::ReleasePart, key);
        }
    }

    pub(crate) fn request(&self) -> &RequestId {
        &self.names.request
    }

    pub(crate) fn bodies(&self) -> &[SignedBytes] {
        &self.frozen
    }
}

/// The sites as the release leaves them.
fn sites<'d>(
    own: &'d [DocumentContent],
    base: &'d [DocumentContent],
) -> BTreeMap<&'d SiteId, &'d Site> {
    let each = base.iter().chain(own).filter_map(|content| match content {
        DocumentContent::Site(site) => Some((&site.id, site)),
        _ => None,
    });
    each.collect()
}
