//! Drafts, and the log of changes.

use chablon_model::{Day, DocumentContent, Draft, DraftId, DraftState, RevisionRef, View};
use chablon_wire::{AuditRecord, DraftCheck};
use futures::TryStreamExt;
use futures::stream::BoxStream;

use super::Client;
use crate::drafts::{Apart, DraftRelease, Proposal, Proposed, Step};
use crate::error::Kind;
use crate::publish::{Draft as Release, Heads, Names, Terms};
use crate::{Error, Recorded, retry};

impl Client {
    /// Makes what a draft is to hold of documents: asks for the latest revisions and compares.
    ///
    /// # Errors
    /// As [`Client::draft`].
    pub async fn proposal(
        &self,
        documents: &[DocumentContent],
        note: &str,
    ) -> Result<Proposal, Error> {
        let mut base: Vec<RevisionRef> = self.documents(&View::Whole).try_collect().await?;
        base.sort();
        let mut heads = Heads::new(base.iter().cloned());
        let mut before = Vec::with_capacity(base.len());
        let mut revisions = self.revisions(&View::Whole, base.iter().map(|one| one.digest));
        while let Some(frozen) = revisions.try_next().await? {
            heads.add(&frozen)?;
            before.push(frozen.read()?.content);
        }
        // To everyone: whom it addresses is said when it is released, and nothing is held back.
        let terms = Terms::new(crate::now(), note, "draft");
        let made = Release::new(documents, &heads, &terms, Names::random())?;
        let after = made.revisions().iter().map(|one| Ok(one.read()?.content));
        let after = after.collect::<Result<_, Error>>()?;
        Ok(Proposal { note: note.to_owned(), made, base, before, after })
    }

    /// Does something to a draft, and gives it as it then is.
    ///
    /// # Errors
    /// [`Error::is_conflict`] where it holds something else by now
    /// ([`Reason::DraftChanged`](crate::Reason::DraftChanged): see [`Client::apart`]) or was made on
    /// what was released anew since ([`Reason::DraftOutdated`](crate::Reason::DraftOutdated): make
    /// the proposal anew). [`Error::outcome_unknown`]: take the same step again.
    pub async fn take(&self, step: &Step) -> Result<Draft, Error> {
        retry::changing(&self.options, || self.hub.take(step)).await
    }

    /// One draft with what it holds.
    ///
    /// # Errors
    /// [`Error::is_not_found`].
    pub async fn proposed(&self, id: &DraftId) -> Result<Proposed, Error> {
        self.reading(|| self.hub.proposed(id)).await
    }

    /// Drafts by id: in these states, or where none is given those that are neither released nor
    /// dropped.
    pub fn drafts(&self, states: &[DraftState]) -> BoxStream<'static, Result<Draft, Error>> {
        let states = states.to_vec();
        self.paged(move |client, page| {
            let states = states.clone();
            async move { client.reading(|| client.hub.drafts(&states, &page)).await }
        })
    }

    /// What the hub has to say of a draft beside what is released: what is wrong in it, how much it
    /// weighs, how many must approve it.
    ///
    /// # Errors
    /// [`Error::is_not_found`].
    pub async fn check_draft(&self, id: &DraftId) -> Result<DraftCheck, Error> {
        self.reading(|| self.hub.check_draft(id)).await
    }

    /// What a draft means beside what it was made on, by the prices of a day.
    ///
    /// # Errors
    /// [`Error::is_unsupported`] where something newer wrote one of the revisions.
    pub async fn comparison(
        &self,
        proposed: &Proposed,
        on: Day,
    ) -> Result<chablon_change::Comparison, Error> {
        let base = self.contents(&proposed.base).await?;
        let contents = proposed.contents()?;
        let before = chablon_change::Edition::new(&base);
        let after = crate::drafts::laid_over(&before, &contents);
        Ok(chablon_change::compare(&before, &after, on))
    }

    /// Both sides where two wrote at one draft: what it holds by now, and what was to be put in it.
    ///
    /// # Errors
    /// [`Error::is_not_found`].
    pub async fn apart(&self, id: &DraftId, yours: &Proposal, on: Day) -> Result<Apart, Error> {
        let theirs = self.proposed(id).await?;
        let base = self.contents(&theirs.base).await?;
        Apart::new(theirs, &base, yours, on)
    }

    /// Makes the release of a draft ready.
    ///
    /// # Errors
    /// As [`DraftRelease::new`].
    pub async fn draft_release(
        &self,
        proposed: &Proposed,
        terms: &Terms,
    ) -> Result<DraftRelease, Error> {
        let base = self.contents(&proposed.base).await?;
        DraftRelease::new(proposed, &base, terms, Names::random())
    }

    /// Releases a draft: all that it holds is recorded, or nothing.
    ///
    /// # Errors
    /// As [`Client::take`], and a [precondition](Error::is_precondition) with
    /// [`Reason::ReviewNeeded`](crate::Reason::ReviewNeeded) or
    /// [`Reason::DraftState`](crate::Reason::DraftState) where it isn't approved.
    pub async fn release_draft(&self, release: &DraftRelease) -> Result<Recorded, Error> {
        if release.parts().is_empty() {
            let message = "nothing of the draft is for those that are addressed";
            return Err(Error::new(Kind::Invalid, message));
        }
        retry::changing(&self.options, || self.hub.release_draft(release)).await
    }

    /// Who did what on the hub, the newest first.
    pub fn audit(&self) -> BoxStream<'static, Result<AuditRecord, Error>> {
        self.paged(
            move |client, page| async move { client.reading(|| client.hub.audit(&page)).await },
        )
    }

    /// What revisions say.
    pub(super) async fn contents(&self, of: &[RevisionRef]) -> Result<Vec<DocumentContent>, Error> {
        let revisions = self.revisions(&View::Whole, of.iter().map(|one| one.digest));
        revisions.and_then(|frozen| async move { Ok(frozen.read()?.content) }).try_collect().await
    }
}
