//! A release that can be looked at before it is sent.

use std::collections::{BTreeMap, BTreeSet};

use chablon_change::{Leaving, Pair};
use chablon_model::{
    DocumentContent, DocumentKey, GroupId, Manifest, ReleaseId, RevisionRef, Site, SiteId,
    Visibility,
};
use chablon_store::RequestId;
use chablon_trust::{Payload, SigningKey, sign};
use chablon_wire::encode_manifest;
use uuid::Uuid;

use super::cascade::{Frozen, freeze};
use super::order::{Documents, index};
use super::site_time::HoldsFrom;
use super::{Heads, ReleaseRequest, Scope, Terms, parts, request};
use crate::{Error, FrozenRevision};

/// What becomes of a document in a release.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Fate {
    /// The hub has none of it yet.
    New,
    /// Its content differs from that of the latest revision.
    Changed,
    /// Its content is the same, but what it uses is not: it gets a revision that pins what is new.
    CarriedAlong {
        /// What of that it uses directly.
        because: Vec<DocumentKey>,
    },
    /// The latest revision says just this.
    Unchanged,
    /// It concerns one site, which the release doesn't address. Nothing of it is sent.
    HeldBack {
        /// The site.
        site: SiteId,
    },
}

/// A document of a draft.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Drafted {
    /// The revision that it has after the release.
    pub revision: RevisionRef,
    /// What becomes of it.
    pub fate: Fate,
}

/// The names of a release and of the request that makes it.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Names {
    /// The release.
    pub release: ReleaseId,
    /// The request.
    pub request: RequestId,
}

impl Names {
    /// Names that were chosen elsewhere.
    pub fn new(release: ReleaseId, request: RequestId) -> Self {
        Self { release, request }
    }

    /// Names that nobody else has.
    pub fn random() -> Self {
        let release = Uuid::new_v4().to_string();
        let release = release.parse().expect("a UUID in lower case is an id");
        Self { release, request: random_request() }
    }
}

/// A name for a request that nobody else has.
pub(crate) fn random_request() -> RequestId {
    Uuid::new_v4().to_string().parse().expect("a UUID is a token")
}

/// A release that was made ready and not sent.
///
/// [`Client::release`](crate::Client::release) sends it. Sent twice it is still one release, since
/// its request carries a name: after a timeout, send the same draft again.
#[derive(Clone, Debug)]
pub struct Draft {
    names: Names,
    documents: Vec<Drafted>,
    not_in_book: Vec<RevisionRef>,
    leaving: Vec<Leaving>,
    parts: Vec<Manifest>,
    /// The bytes of the parts.
    frozen: Vec<chablon_wire::Frozen>,
    revisions: Vec<FrozenRevision>,
}

impl Draft {
    /// Makes a release of documents ready, given the latest revisions that the hub has.
    ///
    /// `heads` must say what the revisions hold that [`Heads::to_read`] names.
    ///
    /// # Errors
    /// [`Error::is_invalid`]: a document is there twice, uses one that is nowhere, or breaks a rule
    /// of the schema; documents use each other in a loop.
    pub fn new(
        documents: &[DocumentContent],
        heads: &Heads,
        terms: &Terms,
        names: Names,
    ) -> Result<Self, Error> {
        let documents = index(documents)?;
        let mut draft = Self {
            names,
            documents: Vec::with_capacity(documents.len()),
            not_in_book: not_among(&documents, heads),
            leaving: Vec::new(),
            parts: Vec::new(),
            frozen: Vec::new(),
            revisions: Vec::new(),
        };
        let mut items = Vec::new();
        for frozen in freeze(&documents, heads)? {
            let content = documents[&frozen.reference.key];
            if let Some(site) = site_not_addressed(content, &documents, heads, terms) {
                draft.lists(frozen.reference, Fate::HeldBack { site });
                continue;
            }
            draft.leaving.extend(leaving(content, heads));
            if terms.scope == Scope::Everything || frozen.bytes.is_some() {
                items.push((frozen.reference.clone(), content.visibility()));
            }
            draft.sends(frozen)?;
        }
        draft.documents.sort_by(|a, b| a.revision.cmp(&b.revision));
        draft.leaving.sort_by(|a, b| a.site.cmp(&b.site));
        let holds_from = HoldsFrom::of(terms, sites(&documents, heads).into_values())?;
        draft.parts = parts::manifests(items, terms, &holds_from, &draft.names.release)?;
        let bytes = draft.parts.iter().map(encode_manifest);
        draft.frozen = bytes.map(request::frozen).collect();
        Ok(draft)
    }

    fn lists(&mut self, revision: RevisionRef, fate: Fate) {
        self.documents.push(Drafted { revision, fate });
    }

    fn sends(&mut self, Frozen { reference, fate, bytes }: Frozen) -> Result<(), Error> {
        if let Some(bytes) = bytes {
            self.revisions.push(FrozenRevision::checked(reference.clone(), bytes.into())?);
        }
        self.lists(reference, fate);
        Ok(())
    }

    /// The release's id.
    pub fn release(&self) -> &ReleaseId {
        &self.names.release
    }

    /// The request's name.
    pub fn request(&self) -> &RequestId {
        &self.names.request
    }

    /// Every document of the book, sorted, with what becomes of it.
    pub fn documents(&self) -> &[Drafted] {
        &self.documents
    }

    /// What the hub has and the book doesn't. The release leaves it in force.
    pub fn not_in_book(&self) -> &[RevisionRef] {
        &self.not_in_book
    }

    /// The sites that leave groups of theirs by it, by id. See
    /// [`Client::in_force_again`](crate::Client::in_force_again).
    pub fn leaving(&self) -> &[Leaving] {
        &self.leaving
    }

    /// What would be sent, for whom.
    pub fn parts(&self) -> &[Manifest] {
        &self.parts
    }

    /// The revisions that are new.
    pub fn revisions(&self) -> &[FrozenRevision] {
        &self.revisions
    }

    /// Signs every part with a release key. Where a group's root wants several keys, each signs.
    pub fn sign(&mut self, key: &SigningKey) {
        for part in &mut self.frozen {
            sign(part, Payload::ReleasePart, key);
        }
    }

    /// Whether there is nothing to release.
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty()
    }

    pub(crate) fn to_request(&self) -> ReleaseRequest {
        ReleaseRequest {
            id: self.names.request.clone(),
            revisions: self.revisions.clone(),
            parts: self.frozen.clone(),
        }
    }
}

/// What the hub has and these documents don't.
fn not_among(documents: &Documents<'_>, heads: &Heads) -> Vec<RevisionRef> {
    let heads = heads.iter().map(|head| &head.reference);
    heads.filter(|head| !documents.contains_key(&head.key)).cloned().collect()
}

/// The site that a document concerns, if it concerns one that the release doesn't address.
fn site_not_addressed(
    content: &DocumentContent,
    documents: &Documents<'_>,
    heads: &Heads,
    terms: &Terms,
) -> Option<SiteId> {
    let Visibility::Site(site) = content.visibility() else { return None };
    let groups = groups_of(&site, documents, heads);
    (!terms.audience.addresses(&site, &groups)).then_some(site)
}

/// The site that a document takes out of groups, if it is a site's.
fn leaving(content: &DocumentContent, heads: &Heads) -> Option<Leaving> {
    let before = &heads.get(&content.key())?.revision.as_ref()?.content;
    match (before, content) {
        (DocumentContent::Site(before), DocumentContent::Site(after)) => {
            Leaving::between(&after.id, Pair::new(&before.groups[..], &after.groups[..]))
        }
        _ => None,
    }
}

/// The sites as the release leaves them.
fn sites<'a>(documents: &Documents<'a>, heads: &'a Heads) -> BTreeMap<&'a SiteId, &'a Site> {
    let held = heads.iter().filter_map(|head| Some(&head.revision.as_ref()?.content));
    let site = |content: &'a DocumentContent| match content {
        DocumentContent::Site(site) => Some((&site.id, site)),
        _ => None,
    };
    held.chain(documents.values().copied()).filter_map(site).collect()
}

/// The groups of a site as the release leaves them.
fn groups_of(site: &SiteId, documents: &Documents<'_>, heads: &Heads) -> BTreeSet<GroupId> {
    let key = DocumentKey::from(site);
    let held = || Some(&heads.get(&key)?.revision.as_ref()?.content);
    match documents.get(&key).copied().or_else(held) {
        Some(DocumentContent::Site(Site { groups, .. })) => groups.iter().cloned().collect(),
        _ => BTreeSet::new(),
    }
}
