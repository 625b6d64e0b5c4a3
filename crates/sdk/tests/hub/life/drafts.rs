//! Drafts among the steps of a life: several hands at two drafts, each by what it last saw of them.

use std::collections::{BTreeMap, BTreeSet};

use chablon_sdk::drafts::{Draft, DraftState, Proposed, Step};
use chablon_sdk::model::{Digest, DraftId};
use chablon_sdk::{Client, Error, Reason};
use chablon_testkit::TestHub;
use proptest::prelude::*;

use crate::common::quick;

/// Who works on drafts. By the sample book's rule one other must approve.
pub(super) const HANDS: [&str; 3] = ["Ada Quill", "Ben Harlow", "Cleo Marsh"];

#[derive(Clone, Copy, Debug)]
pub(super) enum Act {
    /// Whatever comes next where the draft stands, up to its release.
    Onward,
    Update,
    Submit,
    Approve,
    Return,
    Drop,
    Comment,
    Release,
}

/// What somebody does to one of two drafts.
#[derive(Clone, Debug)]
pub(super) struct Deed {
    pub(super) draft: usize,
    pub(super) by: usize,
    pub(super) act: Act,
    /// Whether they look at the draft first, or go by what they saw before.
    pub(super) looks: bool,
    pub(super) recipe: usize,
    pub(super) wording: u8,
    pub(super) pilot: bool,
    pub(super) hours: i64,
}

pub(super) fn deeds() -> impl Strategy<Value = Deed> {
    use Act::{Approve, Comment, Drop, Onward, Release, Return, Submit, Update};
    let act = prop_oneof![
        12 => Just(Onward), 3 => Just(Update), 2 => Just(Approve), 2 => Just(Release),
        1 => Just(Submit), 1 => Just(Return), 1 => Just(Drop), 1 => Just(Comment),
    ];
    let draft = prop_oneof![3 => Just(0usize), 1 => Just(1usize)];
    let who = (draft, 0..HANDS.len(), act, prop::bool::weighted(0.7));
    let what = (0usize..2, 0u8..3, any::<bool>(), -3i64..3);
    (who, what).prop_map(|((draft, by, act, looks), (recipe, wording, pilot, hours))| Deed {
        draft,
        by,
        act,
        looks,
        recipe,
        wording,
        pilot,
        hours,
    })
}

/// What is expected of one draft. `etag` is what the hub calls what it holds, and tells nothing else.
#[derive(Clone, Debug)]
struct Expected {
    state: DraftState,
    etag: Digest,
    authors: BTreeSet<usize>,
    approvals: BTreeSet<usize>,
    /// How many releases with something new there were when it was written.
    made_on: usize,
    /// How many steps were taken.
    steps: usize,
}

/// The drafts as they should be, and what each hand last saw of them.
pub(super) struct Desk {
    hands: Vec<Client>,
    drafts: BTreeMap<DraftId, Expected>,
    seen: BTreeMap<(usize, usize), Proposed>,
    /// How many drafts each of the two places had so far.
    begun: [usize; 2],
    /// How many releases with something new there were.
    pub(super) releases: usize,
    /// Why the hub refused, as often as it did.
    pub(super) refusals: Vec<Reason>,
}

/// What a deed comes to before it is sent.
pub(super) enum Sent {
    /// Nothing: there is no draft, or nothing to put in one.
    Nothing,
    /// A step was taken or refused, as it should have been.
    Told,
    /// The draft as it was seen is to be released, which is right or refused for this reason.
    Release(Box<Proposed>, Result<(), Reason>),
}

impl Desk {
    pub(super) fn new(hub: &TestHub) -> Self {
        let hand = |name: &&str| {
            let options = quick().with_caller(name.parse().unwrap());
            Client::connect([hub.url()], options).unwrap()
        };
        let hands = HANDS.iter().map(hand).collect();
        let (drafts, seen) = (BTreeMap::new(), BTreeMap::new());
        Self { hands, drafts, seen, begun: [0; 2], releases: 0, refusals: Vec::new() }
    }

    pub(super) fn hand(&self, by: usize) -> &Client {
        &self.hands[by]
    }

    fn id(&self, draft: usize) -> DraftId {
        format!("draft-{draft}-{}", self.begun[draft]).parse().unwrap()
    }

    fn state(&self, draft: usize) -> Option<DraftState> {
        self.drafts.get(&self.id(draft)).map(|one| one.state)
    }

    /// What comes next where a draft stands; nothing where a new one does.
    fn act(&self, deed: &Deed) -> Option<Act> {
        let state = self.state(deed.draft).filter(|state| !ended(*state));
        match (deed.act, state) {
            (_, None) => None,
            (Act::Onward, Some(DraftState::Open | DraftState::Returned)) => Some(Act::Submit),
            (Act::Onward, Some(DraftState::InReview)) => Some(Act::Approve),
            (Act::Onward, Some(_)) => Some(Act::Release),
            (act, Some(_)) => Some(act),
        }
    }

    /// Takes a deed's step, if it is one; the documents are the group's with the deed's wording.
    pub(super) async fn take(
        &mut self,
        deed: &Deed,
        documents: &[chablon_sdk::model::DocumentContent],
    ) -> Sent {
        let place = (deed.draft, deed.by);
        let Some(act) = self.act(deed) else {
            // A draft that ended may still be gone for by who hasn't seen that.
            let stale = self.seen.get(&place).cloned().filter(|_| !deed.looks);
            if let (Act::Release, Some(seen)) = (deed.act, stale) {
                let right = self.right(&seen.draft, deed.by, Act::Release);
                return Sent::Release(Box::new(seen), right);
            }
            return self.begin(deed, documents).await;
        };
        let id = self.id(deed.draft);
        if deed.looks || self.seen.get(&place).is_none_or(|seen| seen.draft.id != id) {
            self.look(deed).await;
        }
        let seen = self.seen[&place].clone();
        let right = self.right(&seen.draft, deed.by, act);
        let step = match act {
            Act::Onward | Act::Release => return Sent::Release(Box::new(seen), right),
            Act::Update => {
                let proposal = self.hand(deed.by).proposal(documents, "Anew").await.unwrap();
                if proposal.is_empty() {
                    return Sent::Nothing;
                }
                Step::update(&seen.draft, &proposal)
            }
            Act::Submit => Step::submit(&seen.draft),
            Act::Approve => Step::approve(&seen.draft, "Tasted it"),
            Act::Return => Step::hand_back(&seen.draft, "Too sweet"),
            Act::Drop => Step::give_up(&seen.draft, "Not now"),
            Act::Comment => Step::comment(&seen.draft.id, "Why?"),
        };
        let answer = self.hand(deed.by).take(&step).await;
        self.told(&answer, right);
        if let Ok(draft) = answer {
            self.took(&draft, deed.by, act);
            // Sent again it is the same step.
            assert_eq!(self.hand(deed.by).take(&step).await.unwrap(), draft);
        }
        Sent::Told
    }

    async fn begin(
        &mut self,
        deed: &Deed,
        documents: &[chablon_sdk::model::DocumentContent],
    ) -> Sent {
        let proposal = self.hand(deed.by).proposal(documents, "A draft").await.unwrap();
        if proposal.is_empty() {
            return Sent::Nothing;
        }
        self.begun[deed.draft] += 1;
        let step = Step::create(&self.id(deed.draft), &proposal);
        let draft = self.hand(deed.by).take(&step).await.unwrap();
        let expected = Expected {
            state: DraftState::Open,
            etag: draft.etag,
            authors: [deed.by].into(),
            approvals: BTreeSet::new(),
            made_on: self.releases,
            steps: 1,
        };
        self.drafts.insert(draft.id, expected);
        self.look(deed).await;
        Sent::Told
    }

    async fn look(&mut self, deed: &Deed) {
        let seen = self.hand(deed.by).proposed(&self.id(deed.draft)).await.unwrap();
        self.seen.insert((deed.draft, deed.by), seen);
    }

    /// Whether a step is right by what was seen, or why not.
    fn right(&self, seen: &Draft, by: usize, act: Act) -> Result<(), Reason> {
        use DraftState::{Approved, InReview, Open, Returned};
        let held = &self.drafts[&seen.id];
        let may: &[DraftState] = match act {
            Act::Submit => &[Open, Returned],
            Act::Approve => &[InReview],
            Act::Return => &[InReview, Approved],
            Act::Release | Act::Onward => &[Approved],
            Act::Update | Act::Drop | Act::Comment => &[Open, InReview, Returned, Approved],
        };
        let judges = matches!(act, Act::Submit | Act::Approve)
            || (matches!(act, Act::Release) && held.state == Approved);
        if held.etag != seen.etag && !matches!(act, Act::Comment) {
            return Err(Reason::DraftChanged);
        }
        if judges && !ended(held.state) && held.made_on != self.releases {
            return Err(Reason::DraftOutdated);
        }
        if !may.contains(&held.state) {
            return Err(Reason::DraftState);
        }
        if matches!(act, Act::Approve) && held.authors.contains(&by) {
            return Err(Reason::NotAReviewer);
        }
        Ok(())
    }

    fn took(&mut self, draft: &Draft, by: usize, act: Act) {
        let releases = self.releases;
        let held = self.drafts.get_mut(&draft.id).unwrap();
        held.steps += 1;
        if !matches!(act, Act::Approve | Act::Comment) {
            held.approvals.clear();
        }
        match act {
            Act::Update => {
                assert_ne!(draft.etag, held.etag, "what it holds has a name of its own");
                (held.state, held.etag, held.made_on) = (DraftState::Open, draft.etag, releases);
                held.authors.insert(by);
            }
            Act::Submit => held.state = DraftState::InReview,
            Act::Approve => {
                held.approvals.insert(by);
                held.state = DraftState::Approved;
            }
            Act::Return => held.state = DraftState::Returned,
            Act::Drop => held.state = DraftState::Dropped,
            Act::Comment | Act::Release | Act::Onward => {}
        }
    }

    /// What became of a release of a draft.
    pub(super) fn released<T: std::fmt::Debug>(
        &mut self,
        seen: &Draft,
        answer: &Result<T, Error>,
        right: Result<(), Reason>,
    ) -> bool {
        self.told(answer, right);
        if answer.is_ok() {
            let held = self.drafts.get_mut(&seen.id).unwrap();
            (held.state, held.steps) = (DraftState::Released, held.steps + 1);
        }
        answer.is_ok()
    }

    #[track_caller]
    fn told<T: std::fmt::Debug>(&mut self, answer: &Result<T, Error>, right: Result<(), Reason>) {
        let told = answer.as_ref().map(|_| ()).map_err(Error::reason);
        assert_eq!(told, right.map_err(Some), "{answer:?}");
        self.refusals.extend(right.err());
    }

    /// Each draft is what it should be, with every step that was taken.
    pub(super) async fn check(&self) {
        for (id, expected) in &self.drafts {
            let draft = self.hand(0).proposed(id).await.unwrap().draft;
            let Expected { state, etag, steps, .. } = expected;
            assert_eq!((draft.state, draft.etag, draft.events.len()), (*state, *etag, *steps));
            let name = |hands: &BTreeSet<usize>| hands.iter().map(|one| HANDS[*one]).collect();
            let authors: BTreeSet<&str> = name(&expected.authors);
            assert_eq!(draft.authors(), authors);
            if matches!(state, DraftState::InReview | DraftState::Approved) {
                let approvals: BTreeSet<&str> = name(&expected.approvals);
                assert_eq!(draft.approvals(), approvals);
            }
        }
    }
}

fn ended(state: DraftState) -> bool {
    matches!(state, DraftState::Released | DraftState::Dropped)
}
