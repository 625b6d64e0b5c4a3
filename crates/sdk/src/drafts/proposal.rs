//! What a draft is to hold, and what one holds.

use chablon_change::{Comparison, Edition, compare};
use chablon_model::{Day, DocumentContent, Draft, Manifest, RevisionRef};

use crate::publish::{self, Drafted};
use crate::{Error, FrozenRevision};

/// What a draft is to hold: the revisions that are new, on top of the latest ones of a hub.
///
/// [`Client::proposal`](crate::Client::proposal) makes one.
#[derive(Clone, Debug)]
pub struct Proposal {
    pub(crate) note: String,
    pub(crate) made: publish::Draft,
    /// The latest revision of every document, sorted.
    pub(crate) base: Vec<RevisionRef>,
    /// What those say.
    pub(crate) before: Vec<DocumentContent>,
    /// What the proposed revisions say.
    pub(crate) after: Vec<DocumentContent>,
}

impl Proposal {
    /// Whether nothing has changed.
    pub fn is_empty(&self) -> bool {
        self.made.revisions().is_empty()
    }

    /// Every document of the book, sorted, with what becomes of it.
    pub fn documents(&self) -> &[Drafted] {
        self.made.documents()
    }

    /// What the hub has and the book doesn't. It stays as it is.
    pub fn not_in_book(&self) -> &[RevisionRef] {
        self.made.not_in_book()
    }

    /// What would be sent if it was released to everyone as it was made.
    pub fn parts(&self) -> &[Manifest] {
        self.made.parts()
    }

    /// What it means beside what is released, by the prices of a day.
    pub fn comparison(&self, on: Day) -> Comparison {
        let before = Edition::new(&self.before);
        compare(&before, &laid_over(&before, &self.after), on)
    }
}

/// A draft with what it holds.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Proposed {
    /// The draft.
    pub draft: Draft,
    /// The latest revision of every document when it was made, sorted.
    pub base: Vec<RevisionRef>,
    /// What it proposes.
    pub revisions: Vec<FrozenRevision>,
}

impl Proposed {
    /// What the revisions say.
    ///
    /// # Errors
    /// [`Error::is_unsupported`] where something newer wrote them.
    pub fn contents(&self) -> Result<Vec<DocumentContent>, Error> {
        self.revisions.iter().map(|one| Ok(one.read()?.content)).collect()
    }
}

/// Two who wrote at one draft: what each of them means.
#[derive(Clone, Debug)]
#[non_exhaustive]
pub struct Apart {
    /// The draft as somebody else left it.
    pub draft: Draft,
    /// What theirs changes of what is released.
    pub theirs: Comparison,
    /// What yours changes of what is released.
    pub yours: Comparison,
    /// From theirs to yours.
    pub between: Comparison,
}

impl Apart {
    /// Compares a draft with what was to be put in it.
    pub(crate) fn new(
        theirs: Proposed,
        base: &[DocumentContent],
        yours: &Proposal,
        on: Day,
    ) -> Result<Self, Error> {
        let their_base = Edition::new(base);
        let contents = theirs.contents()?;
        let their_edition = laid_over(&their_base, &contents);
        let our_base = Edition::new(&yours.before);
        let our_edition = laid_over(&our_base, &yours.after);
        Ok(Self {
            theirs: compare(&their_base, &their_edition, on),
            yours: compare(&our_base, &our_edition, on),
            between: compare(&their_edition, &our_edition, on),
            draft: theirs.draft,
        })
    }
}

/// Documents in the place of those of an edition.
pub(crate) fn laid_over<'a>(
    under: &Edition<'a>,
    over: impl IntoIterator<Item = &'a DocumentContent>,
) -> Edition<'a> {
    over.into_iter().fold(under.clone(), Edition::with)
}
