//! Drafts.

use std::sync::Arc;

use chablon_model::{Audience, Digest, Draft, DraftAct, DraftState};
use tokio::task::JoinSet;

use crate::conformance::assert_refused;
use crate::conformance::samples::{
    approve, create, id, limit, release, request, revision, step, update,
};
use crate::{DraftCommit, DraftStep, Frozen, HubError, HubStore, ReleaseCommit};

/// How many go for one thing at once.
const WRITERS: usize = 8;

fn submit(etag: Digest, needed: u32) -> DraftStep {
    DraftStep::Submit { etag, needed }
}

fn hand_back(etag: Digest) -> DraftStep {
    DraftStep::Return { etag, text: "too sweet still".to_owned() }
}

fn give_up(etag: Digest) -> DraftStep {
    DraftStep::Drop { etag, text: String::new() }
}

async fn begun(hub: &Arc<dyn HubStore>) -> Draft {
    hub.take_step(step("begin", "ada", create("less"))).await.unwrap()
}

/// A draft that one other has approved.
async fn approved(hub: &Arc<dyn HubStore>) -> Draft {
    let etag = begun(hub).await.etag;
    hub.take_step(step("submit", "ada", submit(etag, 1))).await.unwrap();
    hub.take_step(step("approve", "ben", approve(etag, 1))).await.unwrap()
}

/// A release of the draft, of one revision.
fn of_draft(name: &str, etag: Digest, number: u32) -> ReleaseCommit {
    let commit = release(name, Audience::All, &[&revision("recipe/pear", number)]);
    ReleaseCommit { draft: Some((id("less-honey"), etag)), ..commit }
}

async fn state(hub: &Arc<dyn HubStore>) -> DraftState {
    hub.draft(&id("less-honey")).await.unwrap().unwrap().draft.state
}

/// What is put in comes back; a list has no contents and is by id and state.
pub async fn a_draft_is_made_read_and_listed(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    assert_eq!(hub.draft(&id("less-honey")).await.unwrap(), None);
    let made = begun(&hub).await;
    assert_eq!((made.state, made.author.as_str()), (DraftState::Open, "ada"));
    assert_eq!((made.note.as_str(), made.events.len()), ("Less honey", 1));
    let stored = hub.draft(&id("less-honey")).await.unwrap().unwrap();
    assert_eq!((&stored.draft, &stored.content), (&made, &Frozen::new("less")));
    for name in ["another", "more-honey"] {
        let other = DraftCommit { draft: id(name), ..step(name, "ben", create(name)) };
        hub.take_step(other).await.unwrap();
    }
    let more = hub.draft(&id("more-honey")).await.unwrap().unwrap().draft;
    let dropped = DraftCommit { draft: id("more-honey"), ..step("d", "ben", give_up(more.etag)) };
    hub.take_step(dropped).await.unwrap();
    let ids = |drafts: Vec<Draft>| -> Vec<String> {
        drafts.iter().map(|draft| draft.id.to_string()).collect()
    };
    let all = hub.drafts(&DraftState::ALL, None, limit(2)).await.unwrap();
    assert_eq!(ids(all), ["another", "less-honey"]);
    let after = id("less-honey");
    let rest = hub.drafts(&DraftState::ALL, Some(&after), limit(2)).await.unwrap();
    assert_eq!(ids(rest), ["more-honey"]);
    let open = hub.drafts(&[DraftState::Open], None, limit(9)).await.unwrap();
    assert_eq!(open[1], made, "with all that was done to it");
    assert_eq!(ids(open), ["another", "less-honey"]);
}

/// Who changes a draft names what it held; who comes second is told who was first.
pub async fn a_changed_draft_is_not_changed_unseen(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let first = begun(&hub).await;
    let changed = hub.take_step(step("ben-1", "ben", update(first.etag, "lesser"))).await.unwrap();
    assert_ne!(changed.etag, first.etag);
    assert_eq!(changed.note, "Less honey still");
    assert_refused!(
        hub.take_step(step("ada-1", "ada", update(first.etag, "least"))).await,
        HubError::DraftChanged { stated, now, by, .. }
            if stated == first.etag && now == changed.etag && by == "ben"
    );
    let stored = hub.draft(&first.id).await.unwrap().unwrap();
    assert_eq!((stored.draft.etag, stored.content), (changed.etag, Frozen::new("lesser")));
    let back = hub.take_step(step("ada-2", "ada", update(changed.etag, "less"))).await.unwrap();
    assert_ne!(back.etag, first.etag, "what comes back isn't what was looked at");
}

/// As many others as are needed; one who says it twice is one.
pub async fn a_draft_goes_through_review(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let etag = begun(&hub).await.etag;
    let steps = [
        ("1", "ada", submit(etag, 2), DraftState::InReview),
        ("2", "ben", approve(etag, 2), DraftState::InReview),
        ("3", "ben", approve(etag, 2), DraftState::InReview),
        ("4", "cleo", hand_back(etag), DraftState::Returned),
        ("5", "ada", DraftStep::Comment { text: "a word".to_owned() }, DraftState::Returned),
        ("6", "ada", submit(etag, 2), DraftState::InReview),
        ("7", "cleo", approve(etag, 2), DraftState::InReview),
        ("8", "ben", approve(etag, 2), DraftState::Approved),
        ("9", "cleo", hand_back(etag), DraftState::Returned),
        ("10", "ada", submit(etag, 0), DraftState::Approved),
    ];
    for (name, by, what, expected) in steps {
        let draft = hub.take_step(step(name, by, what)).await.unwrap();
        assert_eq!(draft.state, expected, "step {name}");
    }
    let draft = hub.draft(&id("less-honey")).await.unwrap().unwrap().draft;
    let acts: Vec<&str> = draft.events.iter().map(|event| event.act.as_str()).collect();
    assert_eq!(acts[..4], ["create", "submit", "approve", "approve"]);
    assert_eq!(
        (draft.events[4].by.as_str(), draft.events[4].text.as_str()),
        ("cleo", "too sweet still")
    );
}

/// Neither who began it nor who changed it.
pub async fn an_author_does_not_approve(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let first = begun(&hub).await.etag;
    let etag = hub.take_step(step("1", "ben", update(first, "lesser"))).await.unwrap().etag;
    hub.take_step(step("2", "ada", submit(etag, 1))).await.unwrap();
    for (name, author) in [("3", "ada"), ("4", "ben")] {
        assert_refused!(
            hub.take_step(step(name, author, approve(etag, 1))).await,
            HubError::OwnDraft { by, .. } if by == author
        );
    }
    let approved = hub.take_step(step("5", "cleo", approve(etag, 1))).await.unwrap();
    assert_eq!(approved.state, DraftState::Approved);
}

/// What was approved is what was looked at.
pub async fn a_change_takes_approvals_back(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let seen = approved(&hub).await.etag;
    let changed = hub.take_step(step("late", "ada", update(seen, "lesser"))).await.unwrap();
    assert_eq!((changed.state, changed.approvals().len()), (DraftState::Open, 0));
    assert_refused!(hub.release(of_draft("r1", seen, 1)).await, HubError::DraftChanged { .. });
    assert_refused!(
        hub.release(of_draft("r1", changed.etag, 1)).await,
        HubError::DraftState { state: DraftState::Open, act: DraftAct::Release, .. }
    );
    hub.take_step(step("submit-2", "ada", submit(changed.etag, 1))).await.unwrap();
    assert_refused!(
        hub.take_step(step("approve-2", "ben", approve(seen, 1))).await,
        HubError::DraftChanged { .. }
    );
}

/// What can't be done where it stands is refused and leaves no trace.
pub async fn steps_fit_where_a_draft_stands(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let nobody = id("less-honey");
    assert_refused!(
        hub.take_step(step("0", "ada", give_up(Frozen::new("x").digest))).await,
        HubError::UnknownDraft(draft) if draft == nobody
    );
    let etag = begun(&hub).await.etag;
    assert_refused!(
        hub.take_step(step("1", "ben", create("other"))).await,
        HubError::DraftExists(draft) if draft == nobody
    );
    for (name, what) in [("2", approve(etag, 1)), ("3", hand_back(etag))] {
        assert_refused!(
            hub.take_step(step(name, "ben", what)).await,
            HubError::DraftState { state: DraftState::Open, .. }
        );
    }
    let dropped = hub.take_step(step("4", "ada", give_up(etag))).await.unwrap();
    assert_eq!((dropped.state, dropped.events.len()), (DraftState::Dropped, 2));
    for (name, what) in [("5", update(etag, "x")), ("6", submit(etag, 1)), ("7", give_up(etag))] {
        assert_refused!(
            hub.take_step(step(name, "ada", what)).await,
            HubError::DraftState { state: DraftState::Dropped, .. }
        );
    }
    assert_eq!(hub.draft(&nobody).await.unwrap().unwrap().draft, dropped);
}

/// The same request again; the same name for other content is a mistake.
pub async fn a_repeated_step_changes_nothing(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let made = begun(&hub).await;
    assert_eq!(begun(&hub).await, made);
    let change = step("change", "ada", update(made.etag, "lesser"));
    let changed = hub.take_step(change.clone()).await.unwrap();
    assert_eq!(hub.take_step(change.clone()).await.unwrap(), changed);
    assert_eq!(begun(&hub).await, changed, "a repeated request gives what is there by now");
    let other = DraftCommit { request: request("change", "other"), ..change };
    assert_refused!(hub.take_step(other).await, HubError::RequestIdReused(_));
}

/// A step can't use the name of a release's request, nor the other way round.
pub async fn request_ids_are_shared_with_releases(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let pear = revision("recipe/pear", 1);
    hub.release(release("first", Audience::All, &[&pear])).await.unwrap();
    assert_refused!(
        hub.take_step(step("request-first", "ada", create("less"))).await,
        HubError::RequestIdReused(_)
    );
    begun(&hub).await;
    let commit = release("second", Audience::All, &[&pear]);
    let commit = ReleaseCommit { request: request("begin", "second"), ..commit };
    assert_refused!(hub.release(commit).await, HubError::RequestIdReused(_));
}

/// The draft ends with the release, in one change.
pub async fn a_release_takes_an_approved_draft_as_it_was_seen(
    open: impl AsyncFn() -> Arc<dyn HubStore>,
) {
    let hub = open().await;
    let unknown = of_draft("r0", Frozen::new("x").digest, 1);
    assert_refused!(hub.release(unknown).await, HubError::UnknownDraft(_));
    let etag = approved(&hub).await.etag;
    let commit = of_draft("r1", etag, 1);
    let first = hub.release(commit.clone()).await.unwrap();
    assert_eq!(state(&hub).await, DraftState::Released);
    let again = hub.release(commit).await.unwrap();
    assert!(again.repeated && again.first_position == first.first_position);
    let log = hub.audit(None, limit(1)).await.unwrap();
    assert_eq!(log[0].record.detail, "release/r1: a note");
    assert_eq!(log[0].record.subject, "draft/less-honey");
}

/// A draft is released once, however many go for it.
pub async fn of_two_releases_of_a_draft_one_wins(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let etag = approved(&hub).await.etag;
    let mut senders = JoinSet::new();
    for number in 0..WRITERS {
        let hub = hub.clone();
        senders.spawn(async move { hub.release(of_draft(&format!("r{number}"), etag, 1)).await });
    }
    let answers = senders.join_all().await;
    assert_eq!(answers.iter().filter(|answer| answer.is_ok()).count(), 1);
    for answer in answers.into_iter().filter(Result::is_err) {
        assert_refused!(answer, HubError::DraftState { state: DraftState::Released, .. });
    }
    assert_eq!(hub.state().await.unwrap().position, 1);
}

/// A release that is refused for another reason leaves the draft as it is.
pub async fn a_refused_release_leaves_the_draft(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let etag = approved(&hub).await.etag;
    assert_refused!(hub.release(of_draft("r1", etag, 7)).await, HubError::Conflict { .. });
    assert_eq!(state(&hub).await, DraftState::Approved);
    hub.release(of_draft("r1", etag, 1)).await.unwrap();
}

/// Of several who read the same and change it, one wins, and the others hear of it.
pub async fn of_those_who_change_a_draft_at_once_one_wins(
    open: impl AsyncFn() -> Arc<dyn HubStore>,
) {
    let hub = open().await;
    let etag = begun(&hub).await.etag;
    let mut writers = JoinSet::new();
    for number in 0..WRITERS {
        let hub = hub.clone();
        writers.spawn(async move {
            let content = format!("version-{number}");
            let done = hub.take_step(step(&content, "ben", update(etag, &content))).await;
            done.map(|draft| (draft, content))
        });
    }
    let mut won = Vec::new();
    for answer in writers.join_all().await {
        match answer {
            Ok(done) => won.push(done),
            Err(HubError::DraftChanged { .. }) => {}
            Err(other) => panic!("neither won nor lost: {other}"),
        }
    }
    let [(draft, content)] = &won[..] else { panic!("{} won", won.len()) };
    let stored = hub.draft(&id("less-honey")).await.unwrap().unwrap();
    assert_eq!((&stored.draft, stored.content), (draft, Frozen::new(content.clone())));
}

/// Either the approval is of what stands there, or it is refused: never is something approved that
/// nobody looked at.
pub async fn an_approval_and_a_change_at_once_lose_nothing(
    open: impl AsyncFn() -> Arc<dyn HubStore>,
) {
    let hub = open().await;
    let mut etag = begun(&hub).await.etag;
    for round in 0..12 {
        let name = |what: &str| format!("{what}-{round}");
        hub.take_step(step(&name("submit"), "ada", submit(etag, 1))).await.unwrap();
        let change = step(&name("change"), "ada", update(etag, &name("content")));
        let approval = step(&name("approve"), "ben", approve(etag, 1));
        let (changed, approved) = tokio::join!(hub.take_step(change), hub.take_step(approval));
        let changed = changed.expect("nobody else changes it");
        match approved {
            Ok(seen) => assert_eq!(seen.etag, etag, "round {round}"),
            Err(HubError::DraftChanged { stated, .. }) => assert_eq!(stated, etag),
            Err(other) => panic!("round {round}: {other}"),
        }
        let stands = hub.draft(&id("less-honey")).await.unwrap().unwrap().draft;
        assert_eq!((stands.state, stands.approvals().len()), (DraftState::Open, 0));
        assert_eq!(stands.etag, changed.etag);
        etag = stands.etag;
    }
}

/// With all that was done to them.
pub async fn drafts_are_there_after_reopening(open: impl AsyncFn() -> Arc<dyn HubStore>) {
    let hub = open().await;
    let draft = approved(&hub).await;
    let stored = hub.draft(&draft.id).await.unwrap();
    drop(hub);
    let hub = open().await;
    assert_eq!(hub.draft(&draft.id).await.unwrap(), stored);
    assert_eq!(begun(&hub).await, draft, "requests are remembered");
}
