//! From a book to a release: which revisions are new, what they pin, and who gets which part.
//!
//! A [`Draft`] is made from documents and from the latest revisions that the hub has
//! ([`Client::draft`](crate::Client::draft) asks it for them). It can be shown before anything is
//! sent: every document has a [`Fate`].
//!
//! - A document gets a new revision where its content differs from the latest revision's, or where
//!   something that it uses gets one: then it is carried along, since a revision pins what it uses.
//! - What concerns one site alone, its description and its own prices, goes into a part of its own
//!   that only that site gets; and only where the release addresses that site at all.
//! - Documents that the book no longer has stay in force. Withdraw them, if none is to be made.
//!
//! Everything here but the asking is pure: ids and moments come in as arguments.

mod cascade;
mod draft;
mod order;
mod parts;
mod request;
mod site_time;
mod withdrawal;

pub(crate) use cascade::first_digests;
pub use cascade::{Head, Heads};
pub(crate) use draft::random_request;
pub use draft::{Draft, Drafted, Fate, Names};
pub(crate) use parts::manifests;
pub(crate) use request::{ReleaseRequest, WithdrawalRequest, frozen};
pub(crate) use site_time::HoldsFrom;
pub use site_time::moment_in;
pub use withdrawal::{GoOn, Taking, WithdrawalDraft};

use chablon_model::{Audience, LocalTime, Moment};

/// How a release is to be made.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub struct Terms {
    /// Whom it addresses.
    pub audience: Audience,
    /// The moment from which it holds.
    pub holds_from: Moment,
    /// A time on each site's own clock from which it holds there, instead of the moment.
    pub site_time: Option<LocalTime>,
    /// Why, for people. Must say something.
    pub note: String,
    /// Who releases it. Must say something.
    pub author: String,
    /// What it puts in force.
    pub scope: Scope,
}

/// What a release puts in force.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[non_exhaustive]
pub enum Scope {
    /// What gets a new revision.
    #[default]
    Changed,
    /// All documents of the book: for sites that joined, and to widen an audience.
    Everything,
}

impl Terms {
    /// A release of what has changed, to everyone.
    pub fn new(holds_from: Moment, note: impl Into<String>, author: impl Into<String>) -> Self {
        let (note, author) = (note.into(), author.into());
        let (audience, scope) = (Audience::All, Scope::Changed);
        Self { audience, holds_from, site_time: None, note, author, scope }
    }

    /// To these sites and groups alone.
    #[must_use]
    pub fn to(mut self, audience: Audience) -> Self {
        self.audience = audience;
        self
    }

    /// From a time on each site's own clock. Every site that it addresses must have a time zone.
    #[must_use]
    pub fn at_site_time(mut self, time: LocalTime) -> Self {
        self.site_time = Some(time);
        self
    }

    /// Of this scope.
    #[must_use]
    pub fn of(mut self, scope: Scope) -> Self {
        self.scope = scope;
        self
    }
}
