//! Releasing a draft, and what may be released without one.

use std::collections::BTreeSet;

use chablon_model::{Digest, DraftId, DraftState, Moment, RevisionRef, View, Visibility};
use chablon_store::{Actor, Frozen, Ground, HubError, RequestId};
use chablon_wire::{At, Violation, decode_manifest};

use super::{ReleaseError, ReleaseRequest, Released, Submission};
use crate::bodies::{BodyError, item, read_all};
use crate::drafts::{DraftError, Looked, Proposal, book};
use crate::{Exchange, StoreFault, blocking};

/// A release of a draft as it is asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DraftReleaseRequest {
    /// The client's name for the request, by which it may be repeated.
    pub request_id: RequestId,
    /// Which draft.
    pub draft: DraftId,
    /// What it held when it was looked at.
    pub etag: Digest,
    /// The parts, in order.
    pub parts: Vec<Frozen>,
}

impl Exchange {
    /// Puts in force what an approved draft holds: all of it, or on an error nothing.
    ///
    /// The same request may be sent again; it gets the first answer.
    pub async fn release_draft(
        &self,
        request: DraftReleaseRequest,
        by: Actor,
        now: Moment,
    ) -> Result<Released, ReleaseError> {
        let DraftReleaseRequest { request_id, draft: id, etag, parts } = request;
        let held = self.draft(&id).await?;
        let (state, content) = (held.draft.state, held.content.clone());
        // What was released is never changed, so this isn't a request that is sent again.
        if held.draft.etag != etag {
            return Err(DraftError::changed(&held.draft).into());
        }
        // Of any other the store says whether it was released by this very request, or why it can't.
        if state == DraftState::Approved {
            match self.fit(held, now).await {
                Ok(looked) => approved(&looked)?,
                // It is its own release, meanwhile, that it is behind.
                Err(DraftError::Outdated { .. }) if self.draft(&id).await?.draft.state != state => {
                }
                Err(error) => return Err(error.into()),
            }
        }
        let revisions = blocking(move || named(&content, &parts).map(|named| (named, parts))).await;
        let (revisions, parts) = revisions?;
        let request = ReleaseRequest { request_id, revisions, parts };
        self.recorded(request, Some(by), Some((id, etag)), now).await
    }

    /// What a release is held to.
    pub(super) async fn ground(
        &self,
        submission: &Submission,
        is_draft: bool,
    ) -> Result<Ground, HubError> {
        let mut documents = Vec::new();
        if !is_draft {
            let items = submission.manifests.iter().flat_map(|part| &part.items);
            documents.extend(items.map(|item| item.key.clone()));
            documents.push(book());
        }
        self.store.ground(&View::Whole, &documents).await
    }

    /// Refuses to release without a draft what the group's rule wants looked at first: anything but
    /// the latest revisions, which were.
    pub(super) async fn check_direct(
        &self,
        submission: &Submission,
        ground: &Ground,
    ) -> Result<(), ReleaseError> {
        if self.rule_in(ground).await?.direct {
            return Ok(());
        }
        let latest = |item: &RevisionRef| ground.heads.get(&item.key).map(|head| &head.reference);
        let items = submission.manifests.iter().flat_map(|part| &part.items);
        match { items }.find(|item| latest(item) != Some(*item)) {
            None => Ok(()),
            Some(item) => Err(ReleaseError::DraftNeeded(item.key.clone())),
        }
    }
}

/// Refuses a draft that fewer have approved than must by now: what was released since may have made
/// it heavier, or the rule stricter.
fn approved(looked: &Looked) -> Result<(), ReleaseError> {
    let approvals = looked.draft.approvals().len();
    if approvals >= looked.needed as usize {
        return Ok(());
    }
    Err(ReleaseError::ReviewNeeded {
        draft: looked.draft.id.clone(),
        class: looked.class,
        needed: looked.needed,
        approvals,
    })
}

/// The revisions of a draft that the parts name: all that it holds, but sites' own documents of
/// sites that aren't addressed, and nothing else.
fn named(
    content: &chablon_wire::DraftContent,
    parts: &[Frozen],
) -> Result<Vec<Frozen>, ReleaseError> {
    let proposal = Proposal::read(content)
        .map_err(|error| StoreFault::unreadable("what the draft holds", &error))?;
    let manifests = read_all("parts", parts, decode_manifest)?;
    for (index, part) in manifests.iter().enumerate() {
        let foreign = |one: &(usize, &RevisionRef)| proposal.of(&one.1.key) != Some(one.1);
        if let Some((place, one)) = part.items.iter().enumerate().find(foreign) {
            let violation = Violation::new(format!("`{}` isn't what the draft holds", one.key));
            let violation = violation.at(&item("items", place)).at(&item("parts", index));
            return Err(BodyError::Invalid { revision: None, violations: vec![violation] }.into());
        }
    }
    let items: BTreeSet<&RevisionRef> = manifests.iter().flat_map(|part| &part.items).collect();
    let mut kept = Vec::new();
    for (reference, revision, frozen) in &proposal.revisions {
        match (items.contains(reference), revision.content.visibility()) {
            (true, _) => kept.push(frozen.clone()),
            (false, Visibility::Site(_)) => {}
            (false, Visibility::Everyone) => {
                let reason = format!("no part names `{}`, which the draft holds", reference.key);
                let violations = vec![Violation::new(reason).at("parts")];
                return Err(BodyError::Invalid { revision: None, violations }.into());
            }
        }
    }
    Ok(kept)
}
