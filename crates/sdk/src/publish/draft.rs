//! A release that can be looked at before it is sent.

use std::collections::BTreeSet;

use chablon_model::{
    DocumentContent, DocumentKey, GroupId, Manifest, ReleaseId, RevisionRef, Site, SiteId,
    Visibility,
};
use chablon_store::RequestId;
use uuid::Uuid;

use super::cascade::{Frozen, freeze};
use super::order::{Documents, index};
use super::{Heads, ReleaseRequest, Scope, Terms, parts};
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
pub(super) fn random_request() -> RequestId {
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
    parts: Vec<Manifest>,
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
        let frozen = freeze(&documents, heads)?;
        let outside = |key: &DocumentKey| site_not_addressed(key, &documents, heads, terms);
        let (held, sent): (Vec<Frozen>, Vec<Frozen>) =
            frozen.into_iter().partition(|one| outside(&one.reference.key).is_some());
        let chosen = |one: &&Frozen| terms.scope == Scope::Everything || one.bytes.is_some();
        let items = sent
            .iter()
            .filter(chosen)
            .map(|one| (one.reference.clone(), documents[&one.reference.key].visibility()));
        let parts = parts::manifests(items.collect(), terms, &names.release)?;
        let held = held.into_iter().map(|one| {
            let site = outside(&one.reference.key).expect("that is why it is held back");
            Drafted { revision: one.reference, fate: Fate::HeldBack { site } }
        });
        let mut drafted: Vec<Drafted> = held.collect();
        let mut revisions = Vec::new();
        for Frozen { reference, fate, bytes } in sent {
            if let Some(bytes) = bytes {
                revisions.push(FrozenRevision::checked(reference.clone(), bytes.into())?);
            }
            drafted.push(Drafted { revision: reference, fate });
        }
        drafted.sort_by(|a, b| a.revision.cmp(&b.revision));
        let not_in_book = heads.iter().map(|head| &head.reference);
        let not_in_book = not_in_book.filter(|head| !documents.contains_key(&head.key));
        Ok(Self {
            names,
            documents: drafted,
            not_in_book: not_in_book.cloned().collect(),
            parts,
            revisions,
        })
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

    /// What would be sent, for whom.
    pub fn parts(&self) -> &[Manifest] {
        &self.parts
    }

    /// The revisions that are new.
    pub fn revisions(&self) -> &[FrozenRevision] {
        &self.revisions
    }

    /// Whether there is nothing to release.
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty()
    }

    pub(crate) fn to_request(&self) -> ReleaseRequest {
        ReleaseRequest::new(self.names.request.clone(), self.revisions.clone(), &self.parts)
    }
}

/// The site that a document concerns, if it concerns one that the release doesn't address.
fn site_not_addressed(
    key: &DocumentKey,
    documents: &Documents<'_>,
    heads: &Heads,
    terms: &Terms,
) -> Option<SiteId> {
    let Visibility::Site(site) = documents[key].visibility() else { return None };
    let groups = groups_of(&site, documents, heads);
    (!terms.audience.addresses(&site, &groups)).then_some(site)
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
