//! A draft beside what is released.

use std::collections::BTreeMap;
use std::num::NonZeroU32;

use chablon_change::{Class, Edition, compare};
use chablon_model::{
    Digest, DocumentContent, DocumentKey, Draft, DraftId, Moment, ReviewRule, Revision,
    RevisionRef, View,
};
use chablon_store::Ground;
use chablon_wire::{DraftFinding, decode_revision};

use super::content::Proposal;
use super::findings::findings;
use super::{DraftError, HeldDraft};
use crate::{Exchange, StoreFault, blocking, day_of};

/// How many revisions are read from the store at a time.
const STEP: usize = 64;

/// How many documents are listed at a time.
const PAGE: NonZeroU32 = NonZeroU32::new(500).unwrap();

/// The latest revision of every document, with what it says.
pub(crate) type Latest = BTreeMap<DocumentKey, (RevisionRef, Revision)>;

/// What is to be said of a draft beside what is released.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Looked {
    /// The draft that was looked at.
    pub draft: Draft,
    /// All that is wrong or doubtful, errors first.
    pub findings: Vec<DraftFinding>,
    /// How much it weighs; none where nothing changes.
    pub class: Option<Class>,
    /// How many others must approve it by the group's rule.
    pub needed: u32,
    /// A document that was released anew since the draft was made.
    pub outdated: Option<DocumentKey>,
}

impl Exchange {
    /// Looks at a draft beside what is released.
    pub async fn check_draft(&self, id: &DraftId, now: Moment) -> Result<Looked, DraftError> {
        let draft = self.draft(id).await?;
        self.look_at(draft, now).await
    }

    pub(crate) async fn look_at(
        &self,
        draft: HeldDraft,
        now: Moment,
    ) -> Result<Looked, DraftError> {
        let latest = self.latest().await?;
        blocking(move || {
            let HeldDraft { draft, content } = draft;
            let proposal = Proposal::read(&content).map_err(|error| {
                StoreFault::unreadable(&format!("what draft `{}` holds", draft.id), &error)
            })?;
            Ok(looked(draft, &proposal, &latest, now))
        })
        .await
    }

    /// How the group looks at changes now.
    pub(crate) async fn review_rule(&self) -> Result<ReviewRule, DraftError> {
        let ground = self.store.ground(&View::Whole, &[book()]).await?;
        Ok(self.rule_in(&ground).await?)
    }

    /// The same where the latest book is at hand.
    pub(crate) async fn rule_in(&self, ground: &Ground) -> Result<ReviewRule, StoreFault> {
        let book = ground.heads.get(&book()).map(|head| head.reference.digest);
        let read = self.kept.read(&*self.store, book.as_slice()).await?;
        Ok(rule_of(read.first().map(|known| &known.revision)))
    }

    /// The latest revision of every document.
    async fn latest(&self) -> Result<Latest, DraftError> {
        let mut all = Vec::new();
        loop {
            let after = all.last().map(|head: &RevisionRef| head.key.clone());
            let heads = self.heads(&View::Whole, None, after, PAGE).await?;
            all.extend(heads.documents);
            if !heads.more {
                return self.contents(&all).await;
            }
        }
    }

    async fn contents(&self, references: &[RevisionRef]) -> Result<Latest, DraftError> {
        let mut read = Latest::new();
        for step in references.chunks(STEP) {
            let digests: Vec<Digest> = step.iter().map(|one| one.digest).collect();
            for stored in self.held(&digests).await? {
                let revision = decode_revision(&stored.bytes).map_err(|error| {
                    let what = format!("revision `{}`", stored.reference.digest);
                    StoreFault::unreadable(&what, &error)
                })?;
                read.insert(stored.reference.key.clone(), (stored.reference, revision));
            }
        }
        Ok(read)
    }
}

pub(crate) fn book() -> DocumentKey {
    let id = DocumentContent::BOOK_ID.parse().expect("the model's own id");
    DocumentKey { kind: chablon_model::DocumentKind::Book, id }
}

/// The rule that the released book has; what a draft says of it doesn't count yet.
fn rule_of(book: Option<&Revision>) -> ReviewRule {
    match book.map(|revision| &revision.content) {
        Some(DocumentContent::Book(book)) => book.review_rule(),
        _ => ReviewRule::default(),
    }
}

fn looked(draft: Draft, proposal: &Proposal, latest: &Latest, now: Moment) -> Looked {
    let before = Edition::new(latest.values().map(|(_, revision)| &revision.content));
    let proposed = proposal.revisions.iter().map(|(_, revision, _)| &revision.content);
    let after = proposed.fold(before.clone(), Edition::with);
    let class = compare(&before, &after, day_of(now)).class();
    let rule = rule_of(latest.get(&book()).map(|(_, revision)| revision));
    Looked {
        findings: findings(proposal, latest, &after),
        needed: class.map_or(rule.text, |class| class.reviewers(&rule)),
        outdated: outdated(proposal, latest),
        class,
        draft,
    }
}

/// The first document that isn't any more what the draft was made on.
fn outdated(proposal: &Proposal, latest: &Latest) -> Option<DocumentKey> {
    let number = |key: &DocumentKey| latest.get(key).map_or(0, |(head, _)| head.number);
    proposal.revisions.iter().find_map(|(reference, revision, _)| {
        if number(&reference.key) + 1 != reference.number {
            return Some(reference.key.clone());
        }
        let moved = |pin: &&RevisionRef| {
            let own = proposal.of(&pin.key) == Some(*pin);
            !own && latest.get(&pin.key).map(|(head, _)| head) != Some(*pin)
        };
        revision.pins.iter().find(moved).map(|pin| pin.key.clone())
    })
}
