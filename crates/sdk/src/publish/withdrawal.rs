//! A withdrawal that can be looked at before it is sent.

use chablon_model::{
    Audience, DocumentKey, Entry, EntryBody, Moment, NextStep, RevisionRef, Withdrawal,
};
use chablon_store::RequestId;
use chablon_trust::{Payload, SigningKey, sign};
use chablon_wire::{Frozen, decode_withdrawal, encode_withdrawal};

use super::draft::random_request;
use super::{WithdrawalRequest, request};
use crate::Error;
use crate::error::Kind;

/// What a kitchen does once a revision is withdrawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum GoOn {
    /// It goes back to the revision of this number.
    WithRevision(u32),
    /// It makes none until further notice.
    WithNone,
}

/// What is to be withdrawn, and how.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Taking {
    /// The document.
    pub document: DocumentKey,
    /// The number of the revision; the one that was released last where unstated.
    pub revision: Option<u32>,
    /// What the kitchens do instead.
    pub go_on: GoOn,
    /// Whom it addresses.
    pub audience: Audience,
    /// The moment from which it holds.
    pub holds_from: Moment,
    /// Why, for the kitchens that are told to stop. Must say something.
    pub reason: String,
    /// Who withdraws it. Must say something.
    pub author: String,
}

impl Taking {
    /// Takes back what was released last of a document, from everyone.
    pub fn back(
        document: DocumentKey,
        go_on: GoOn,
        holds_from: Moment,
        reason: impl Into<String>,
        author: impl Into<String>,
    ) -> Self {
        let (reason, author) = (reason.into(), author.into());
        Self {
            document,
            revision: None,
            go_on,
            audience: Audience::All,
            holds_from,
            reason,
            author,
        }
    }

    /// Takes back this revision.
    #[must_use]
    pub fn revision(mut self, number: u32) -> Self {
        self.revision = Some(number);
        self
    }

    /// From these sites and groups alone.
    #[must_use]
    pub fn from(mut self, audience: Audience) -> Self {
        self.audience = audience;
        self
    }
}

/// A withdrawal that was made ready and not sent.
///
/// [`Client::withdraw`](crate::Client::withdraw) sends it. Sent twice it is still one withdrawal.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WithdrawalDraft {
    withdrawal: Withdrawal,
    /// Its bytes.
    frozen: Frozen,
    request: RequestId,
}

impl WithdrawalDraft {
    /// Makes a withdrawal ready, given all entries of the feed.
    ///
    /// # Errors
    /// [`Error::is_not_found`] where the document, or a revision of that number, was never
    /// released; [`Error::is_invalid`] where the revision to go back to isn't an earlier one.
    pub fn new(taking: Taking, entries: &[Entry], request: RequestId) -> Result<Self, Error> {
        let revision = match taking.revision {
            Some(number) => released(entries, &taking.document, number)?,
            None => last_released(entries, &taking.document)?,
        };
        let next = match taking.go_on {
            GoOn::WithNone => NextStep::MakeNone,
            GoOn::WithRevision(number) => {
                NextStep::GoBackTo(released(entries, &taking.document, number)?)
            }
        };
        let Taking { audience, holds_from, reason, author, .. } = taking;
        let withdrawal = Withdrawal { revision, next, audience, holds_from, reason, author };
        // What the hub would refuse is refused here, in the same words.
        let bytes = encode_withdrawal(&withdrawal);
        decode_withdrawal(&bytes)
            .map_err(|error| Error::of_content(&error).while_doing("the withdrawal"))?;
        Ok(Self { withdrawal, frozen: request::frozen(bytes), request })
    }

    /// What it says.
    pub fn withdrawal(&self) -> &Withdrawal {
        &self.withdrawal
    }

    /// The request's name.
    pub fn request(&self) -> &RequestId {
        &self.request
    }

    /// A name for a request that nobody else has.
    pub fn random_request() -> RequestId {
        random_request()
    }

    /// Signs it with a release key. Where a group's root wants several keys, each signs.
    pub fn sign(&mut self, key: &SigningKey) {
        sign(&mut self.frozen, Payload::Withdrawal, key);
    }

    pub(crate) fn to_request(&self) -> WithdrawalRequest {
        WithdrawalRequest { id: self.request.clone(), notice: self.frozen.clone() }
    }
}

/// The released revisions of a document, in the order of the feed.
fn releases<'a>(
    entries: &'a [Entry],
    key: &'a DocumentKey,
) -> impl Iterator<Item = (u64, &'a RevisionRef)> {
    entries.iter().flat_map(move |entry| {
        let items = match &entry.body {
            EntryBody::Release(manifest) => &manifest.items[..],
            EntryBody::Withdrawal(_) | EntryBody::Deviation(_) => &[],
        };
        items.iter().filter(move |item| item.key == *key).map(|item| (entry.position, item))
    })
}

fn last_released(entries: &[Entry], key: &DocumentKey) -> Result<RevisionRef, Error> {
    let last = releases(entries, key).max_by_key(|(position, _)| *position);
    last.map(|(_, item)| item.clone()).ok_or_else(|| {
        Error::new(Kind::NotFound, format!("`{key}` was never released; correct the name"))
    })
}

fn released(entries: &[Entry], key: &DocumentKey, number: u32) -> Result<RevisionRef, Error> {
    let mut all = releases(entries, key).map(|(_, item)| item);
    all.find(|item| item.number == number).cloned().ok_or_else(|| {
        let known: std::collections::BTreeSet<u32> =
            releases(entries, key).map(|(_, item)| item.number).collect();
        let known: Vec<String> = known.iter().map(u32::to_string).collect();
        let hint = match known.as_slice() {
            [] => "nothing of it was".to_owned(),
            numbers => format!("released were {}", numbers.join(", ")),
        };
        Error::new(
            Kind::NotFound,
            format!("revision {number} of `{key}` was never released; {hint}"),
        )
    })
}
