//! Releasing: new revisions, and what is put in force for whom.

use std::collections::BTreeSet;

use chablon_change::Class;
use chablon_model::{
    Digest, DocumentContent, DocumentKey, DraftId, Manifest, Moment, ReleaseId, Revision,
    RevisionRef, SiteId,
};
use chablon_store::{
    Actor, Committed, Epoch, Frozen, HubError, NewPart, NewRevision, ReleaseCommit, Request,
    RequestId, digest_of,
};
use chablon_trust::{Payload, TrustError};
use chablon_wire::{Violation, decode_manifest, decode_revision};

mod catalogue;
mod compute;
mod declared;
mod draft;
mod parts;

pub(crate) use compute::place;
pub use draft::DraftReleaseRequest;

use crate::bodies::{BodyError, bounded, content, read_all};
use crate::drafts::DraftError;
use crate::trust::check_signed_by;
use crate::{Exchange, StoreFault, TrustFault, blocking};

pub use declared::Unreleasable;

/// The most bytes of all parts of a release together: a reader gets them in one answer, and that
/// must stay well below the 4 MiB above which readers commonly refuse one.
const MAX_PARTS_BYTES: usize = 2 * 1024 * 1024;

/// A request of at most so many bytes is read sooner than it is handed to another thread.
const SMALL: usize = 16 * 1024;

/// Why a release wasn't made. Nothing of it was stored.
#[derive(Debug, thiserror::Error)]
pub enum ReleaseError {
    /// A revision or a part is refused by itself.
    #[error(transparent)]
    Body(#[from] BodyError),
    /// The parts don't fit together.
    #[error("release `{release}`: {violation}")]
    Incoherent {
        /// The release.
        release: ReleaseId,
        /// The part, from 1.
        part: u32,
        /// Where and how.
        violation: Violation,
    },
    /// A part shows a site's own document to others.
    #[error(
        "{path}: `{document}` is for site `{site}` alone; put it in a part that addresses that \
         site and nobody else"
    )]
    TooWide {
        /// The document.
        document: DocumentKey,
        /// The site whose own it is.
        site: SiteId,
        /// The part, from 1.
        part: u32,
        /// Which item.
        path: String,
    },
    /// A pin or an item names a revision that is neither stored nor in the request.
    #[error(
        "{path}: revision {} of `{}` is neither stored nor in this request; send it along",
        .reference.number,
        .reference.key
    )]
    Missing {
        /// The revision.
        reference: Box<RevisionRef>,
        /// Which pin or item names it.
        path: String,
    },
    /// Recipes have allergens of which nothing is known, which is never taken for free.
    #[error("{}", declared::sentence(.0))]
    AllergensUnknown(Vec<Unreleasable>),
    /// Somebody else stored a revision of the document first.
    #[error(
        "the next revision of `{document}` is number {}, not {found}; somebody else may have \
         released one: read the latest, compare, number anew",
        .latest + 1
    )]
    Conflict {
        /// The document.
        document: DocumentKey,
        /// The latest revision stored.
        latest: u32,
        /// The number that was given.
        found: u32,
    },
    /// The release's id was used by another request.
    #[error("release `{0}` exists; a new release needs a new id")]
    ReleaseExists(ReleaseId),
    /// The request's id was used with other content.
    #[error("request id `{0}` was used with other content; choose a new one")]
    RequestIdReused(RequestId),
    /// What is new is released as a draft that others have looked at, by the group's rule.
    #[error(
        "`{0}` would be put in force without others having looked at it, and the group's rule wants \
         them to; propose it as a draft"
    )]
    DraftNeeded(DocumentKey),
    /// Fewer have approved a draft than must by the group's rule.
    #[error(
        "{approvals} of {needed} others have approved draft `{draft}`; give it to review again"
    )]
    ReviewNeeded {
        /// The draft.
        draft: DraftId,
        /// How much it weighs; none where nothing changes.
        class: Option<Class>,
        /// How many must approve it.
        needed: u32,
        /// How many have.
        approvals: usize,
    },
    /// The draft can't be released as it stands.
    #[error(transparent)]
    Draft(DraftError),
    /// It isn't signed as the group's root wants it.
    #[error(transparent)]
    Untrusted(TrustError),
    /// The store refused the change for a reason that was not foreseen here.
    #[error("{0}")]
    Refused(String),
    /// The store failed.
    #[error(transparent)]
    Store(#[from] StoreFault),
}

impl From<DraftError> for ReleaseError {
    fn from(error: DraftError) -> Self {
        match error {
            DraftError::Body(error) => Self::Body(error),
            DraftError::Store(fault) => Self::Store(fault),
            DraftError::RequestIdReused(request) => Self::RequestIdReused(request),
            other => Self::Draft(other),
        }
    }
}

impl From<HubError> for ReleaseError {
    fn from(error: HubError) -> Self {
        match error {
            HubError::Conflict { key, expected, found } => {
                Self::Conflict { document: key, latest: expected.saturating_sub(1), found }
            }
            HubError::ReleaseIdReused(release) => Self::ReleaseExists(release),
            HubError::RequestIdReused(request) => Self::RequestIdReused(request),
            HubError::MissingRevision(reference) | HubError::MissingPin { pin: reference, .. } => {
                Self::Missing { reference, path: "parts".to_owned() }
            }
            HubError::Malformed(what) => Self::Refused(what),
            draft @ (HubError::UnknownDraft(_)
            | HubError::DraftChanged { .. }
            | HubError::DraftState { .. }) => Self::Draft(DraftError::of_store(draft)),
            other => Self::Store(StoreFault::of(other)),
        }
    }
}

impl From<TrustFault> for ReleaseError {
    fn from(fault: TrustFault) -> Self {
        match fault {
            TrustFault::Refused(error) => Self::Untrusted(error),
            TrustFault::Store(fault) => Self::Store(fault),
            other => Self::Refused(other.to_string()),
        }
    }
}

/// A release as it is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReleaseRequest {
    /// The client's name for the request, by which it may be repeated.
    pub request_id: RequestId,
    /// New revisions, in any order.
    pub revisions: Vec<Frozen>,
    /// The parts, in order.
    pub parts: Vec<Frozen>,
}

impl ReleaseRequest {
    fn request(&self, draft: Option<&(DraftId, Digest)>) -> Request {
        let digests = |frozen: &[Frozen]| -> Vec<String> { frozen.iter().map(content).collect() };
        let (revisions, parts) = (digests(&self.revisions), digests(&self.parts));
        let mut content = format!("release 1\n{}\n\n{}", revisions.join("\n"), parts.join("\n"));
        if let Some((draft, etag)) = draft {
            content = format!("{content}\n\n{draft} {etag}");
        }
        Request { id: self.request_id.clone(), digest: digest_of(content.as_bytes()) }
    }
}

/// A release that was recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Released {
    /// The release.
    pub release: ReleaseId,
    /// The history of the feed.
    pub epoch: Epoch,
    /// The position of its first part.
    pub first_position: u64,
    /// The position of its last part.
    pub last_position: u64,
    /// Groups and sites that it addresses and that no released site document names: perhaps
    /// misspelt, perhaps yet to come.
    pub unknown_addressees: BTreeSet<String>,
}

/// A revision of the request with what it says.
#[derive(Clone, Debug)]
struct Submitted {
    reference: RevisionRef,
    revision: Revision,
    frozen: Frozen,
}

impl Submitted {
    fn new(frozen: Frozen, revision: Revision) -> Self {
        let Revision { number, .. } = revision;
        let reference = RevisionRef { key: revision.content.key(), number, digest: frozen.digest };
        Self { reference, revision, frozen }
    }

    fn to_store(&self) -> NewRevision {
        let Revision { pins, content, .. } = &self.revision;
        let site_groups = match content {
            DocumentContent::Site(site) => Some(site.groups.iter().cloned().collect()),
            _ => None,
        };
        NewRevision {
            reference: self.reference.clone(),
            bytes: self.frozen.bytes.clone(),
            visible_to: content.visibility(),
            pins: pins.clone(),
            site_groups,
        }
    }
}

/// A request whose bytes were read and whose parts fit together.
struct Submission {
    release: ReleaseId,
    revisions: Vec<Submitted>,
    manifests: Vec<Manifest>,
}

impl Submission {
    fn read(request: &ReleaseRequest) -> Result<Self, ReleaseError> {
        let size = request.parts.iter().map(|part| part.bytes.len()).sum();
        bounded("parts", size, MAX_PARTS_BYTES)?;
        let manifests = read_all("parts", &request.parts, decode_manifest)?;
        let release = parts::coherent(&manifests)?;
        let revisions = read_all("revisions", &request.revisions, decode_revision)?;
        let submitted = request.revisions.iter().cloned().zip(revisions);
        let revisions =
            submitted.map(|(frozen, revision)| Submitted::new(frozen, revision)).collect();
        Ok(Self { release, revisions, manifests })
    }

    fn into_commit(
        self,
        request: ReleaseRequest,
        by: Option<Actor>,
        draft: Option<(DraftId, Digest)>,
        at: Moment,
    ) -> ReleaseCommit {
        let mut revisions: Vec<NewRevision> =
            self.revisions.iter().map(Submitted::to_store).collect();
        // The store takes the numbers of a document in order; the request may list them in any.
        revisions.sort_by(|a, b| a.reference.cmp(&b.reference));
        let request_name = request.request(draft.as_ref());
        // Who calls an open hub without a name is taken for whom the release names.
        let stated = self.manifests.first().map(|part| part.author.clone()).unwrap_or_default();
        let by = by.unwrap_or(Actor { name: stated, role: None });
        let parts = self.manifests.into_iter().zip(request.parts);
        let parts = parts.map(|(manifest, body)| NewPart { manifest, body }).collect();
        ReleaseCommit { request: request_name, at, by, draft, revisions, parts }
    }
}

async fn read_release(
    request: ReleaseRequest,
) -> Result<(ReleaseRequest, Submission), ReleaseError> {
    let bodies = request.revisions.iter().chain(&request.parts);
    let is_small = bodies.map(|frozen| frozen.bytes.len()).sum::<usize>() <= SMALL;
    let read = move || Submission::read(&request).map(|submission| (request, submission));
    if is_small { read() } else { blocking(read).await }
}

impl Exchange {
    /// Stores new revisions and puts revisions in force: all of it, or on an error nothing.
    ///
    /// The same request may be sent again; it gets the first answer.
    pub async fn release(
        &self,
        request: ReleaseRequest,
        by: Option<Actor>,
        now: Moment,
    ) -> Result<Released, ReleaseError> {
        self.recorded(request, by, None, now).await
    }

    async fn recorded(
        &self,
        request: ReleaseRequest,
        by: Option<Actor>,
        draft: Option<(DraftId, Digest)>,
        now: Moment,
    ) -> Result<Released, ReleaseError> {
        let (request, submission) = read_release(request).await?;
        let ground = self.ground(&submission, draft.is_some()).await?;
        check_signed_by(ground.root.as_ref(), Payload::ReleasePart, &request.parts)?;
        if draft.is_none() {
            self.check_direct(&submission, &ground).await?;
        }
        self.check_items(&submission).await?;
        let catalogue = self.catalogue(&submission.revisions).await?;
        let submission = blocking(move || {
            compute::check(&submission.revisions, &catalogue)?;
            Ok::<_, ReleaseError>(submission)
        })
        .await?;
        let unknown_addressees = self.unknown_addressees(&submission).await?;
        let release = submission.release.clone();
        let committed = self.store.release(submission.into_commit(request, by, draft, now)).await?;
        let Committed { epoch, first_position, last_position, .. } = committed;
        Ok(Released { release, epoch, first_position, last_position, unknown_addressees })
    }
}
