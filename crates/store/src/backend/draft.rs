//! Whether a step of a draft fits where it stands, and where it stands then.

use chablon_model::{Digest, Draft, DraftAct, DraftEvent, DraftState};

use super::check_frozen;
use crate::{DraftCommit, DraftStep, HubError, ReleaseCommit, Request, digest_of};

/// Whether a step is whole in itself.
///
/// # Errors
/// [`HubError::DigestMismatch`].
pub fn check_step(commit: &DraftCommit) -> Result<(), HubError> {
    commit.step.content().map_or(Ok(()), |content| {
        check_frozen(|| format!("what draft `{}` holds", commit.draft), content)
    })
}

/// A request for a step that was taken before.
///
/// # Errors
/// [`HubError::RequestIdReused`] when it had other content then.
pub fn step_repeated(request: &Request, digest: Digest) -> Result<(), HubError> {
    if digest == request.digest {
        Ok(())
    } else {
        Err(HubError::RequestIdReused(request.id.clone()))
    }
}

/// The draft after a step; its last event is new.
///
/// # Errors
/// Those of [`DraftStore::take_step`](crate::DraftStore::take_step) that depend on what is stored.
pub fn after_step(before: Option<&Draft>, commit: &DraftCommit) -> Result<Draft, HubError> {
    let mut draft = match (before, &commit.step) {
        (None, DraftStep::Create { note, .. }) => return Ok(begun(commit, note)),
        (Some(_), DraftStep::Create { .. }) => {
            return Err(HubError::DraftExists(commit.draft.clone()));
        }
        (None, _) => return Err(HubError::UnknownDraft(commit.draft.clone())),
        (Some(draft), _) => draft.clone(),
    };
    check_etag(&draft, &commit.step)?;
    check_state(&draft, commit.step.act())?;
    check_reviewer(&draft, commit)?;
    if let DraftStep::Update { note, .. } = &commit.step {
        draft.note.clone_from(note);
        draft.etag = etag(&commit.request);
    }
    draft.events.push(event(commit, draft.etag));
    draft.state = state_after(&draft, &commit.step);
    Ok(draft)
}

/// The draft that a release puts in force, as it is after it.
///
/// # Errors
/// [`HubError::UnknownDraft`], [`HubError::DraftChanged`], [`HubError::DraftState`].
pub fn after_release(before: Option<&Draft>, commit: &ReleaseCommit) -> Result<Draft, HubError> {
    let named = commit.draft.as_ref();
    let (id, stated) = named.expect("only a release of a draft asks for one");
    let mut draft = before.ok_or_else(|| HubError::UnknownDraft(id.clone()))?.clone();
    same_etag(&draft, *stated)?;
    check_state(&draft, DraftAct::Release)?;
    let text = commit.note().to_owned();
    let by = commit.by.name.clone();
    let event = DraftEvent { act: DraftAct::Release, by, at: commit.at, etag: draft.etag, text };
    draft.events.push(event);
    draft.state = DraftState::Released;
    Ok(draft)
}

fn begun(commit: &DraftCommit, note: &str) -> Draft {
    let etag = etag(&commit.request);
    Draft {
        id: commit.draft.clone(),
        state: DraftState::Open,
        etag,
        author: commit.by.name.clone(),
        note: note.to_owned(),
        events: vec![event(commit, etag)],
    }
}

/// A name for what a request put in a draft. No other request gives it, not even one that puts the
/// same in again: an approval of what stood there before isn't one of what came back.
fn etag(request: &Request) -> Digest {
    digest_of(format!("etag 1\n{}\n{}", request.id, request.digest).as_bytes())
}

fn event(commit: &DraftCommit, etag: Digest) -> DraftEvent {
    DraftEvent {
        act: commit.step.act(),
        by: commit.by.name.clone(),
        at: commit.at,
        etag,
        text: commit.step.text().to_owned(),
    }
}

fn check_etag(draft: &Draft, step: &DraftStep) -> Result<(), HubError> {
    match step {
        DraftStep::Create { .. } | DraftStep::Comment { .. } => Ok(()),
        DraftStep::Update { etag, .. }
        | DraftStep::Submit { etag, .. }
        | DraftStep::Approve { etag, .. }
        | DraftStep::Return { etag, .. }
        | DraftStep::Drop { etag, .. } => same_etag(draft, *etag),
    }
}

fn same_etag(draft: &Draft, stated: Digest) -> Result<(), HubError> {
    if draft.etag == stated {
        return Ok(());
    }
    let by = draft.last_writer().unwrap_or_default().to_owned();
    Err(HubError::DraftChanged { draft: draft.id.clone(), stated, now: draft.etag, by })
}

fn check_state(draft: &Draft, act: DraftAct) -> Result<(), HubError> {
    use DraftState::{Approved, InReview, Open, Returned};
    let may: &[DraftState] = match act {
        DraftAct::Create => &[],
        DraftAct::Update | DraftAct::Comment | DraftAct::Drop => {
            &[Open, InReview, Returned, Approved]
        }
        DraftAct::Submit => &[Open, Returned],
        DraftAct::Approve => &[InReview],
        DraftAct::Return => &[InReview, Approved],
        DraftAct::Release => &[Approved],
    };
    if may.contains(&draft.state) {
        return Ok(());
    }
    Err(HubError::DraftState { draft: draft.id.clone(), state: draft.state, act })
}

/// Nobody judges what they wrote at themselves.
fn check_reviewer(draft: &Draft, commit: &DraftCommit) -> Result<(), HubError> {
    let by = commit.by.name.as_str();
    if matches!(commit.step, DraftStep::Approve { .. }) && draft.authors().contains(by) {
        return Err(HubError::OwnDraft { draft: draft.id.clone(), by: by.to_owned() });
    }
    Ok(())
}

/// Where a draft stands after a step that stands among its events already.
fn state_after(draft: &Draft, step: &DraftStep) -> DraftState {
    let enough = |needed: u32| draft.approvals().len() >= needed as usize;
    match step {
        DraftStep::Create { .. } | DraftStep::Update { .. } => DraftState::Open,
        DraftStep::Submit { needed, .. } | DraftStep::Approve { needed, .. } => {
            if enough(*needed) {
                DraftState::Approved
            } else {
                DraftState::InReview
            }
        }
        DraftStep::Comment { .. } => draft.state,
        DraftStep::Return { .. } => DraftState::Returned,
        DraftStep::Drop { .. } => DraftState::Dropped,
    }
}
