//! Lists, page by page.

use std::future::Future;
use std::ops::{Bound, RangeBounds};

use chablon_model::{DocumentKey, DocumentKind, Moment, RevisionRef, SiteId, View};
use chablon_wire::{Acknowledgement, Adoption, Standard};
use futures::stream::BoxStream;
use futures::{StreamExt, TryStreamExt, stream};

use super::Client;
use crate::hub::{AdoptionOf, Page, StandardsOf};
use crate::{Error, Release};

impl Client {
    /// The latest revision of every document that a site may read, or of all documents: sorted by
    /// the name of the kind and then by id.
    pub fn documents(&self, view: &View) -> BoxStream<'static, Result<RevisionRef, Error>> {
        let view = view.clone();
        self.paged(move |client, page| {
            let view = view.clone();
            async move { client.reading(|| client.hub.documents(&view, None, &page)).await }
        })
    }

    /// What is in force of every document at a site at a moment, now where none is given: sorted
    /// by kind and then by id. What was never released to the site is left out.
    pub fn standards(
        &self,
        site: &SiteId,
        kind: Option<DocumentKind>,
        at: Option<Moment>,
    ) -> BoxStream<'static, Result<Standard, Error>> {
        let of = StandardsOf { site: site.clone(), kind, at };
        self.paged(move |client, page| {
            let of = of.clone();
            async move { client.reading(|| client.hub.standards(&of, &page)).await }
        })
    }

    /// What is in force of one document at a site at a moment, now where none is given. A standard
    /// that was withdrawn without another in its place is an answer.
    ///
    /// # Errors
    /// [`Error::is_not_found`] where nothing of it is in force, or there is no such document.
    pub async fn standard(
        &self,
        site: &SiteId,
        document: &DocumentKey,
        at: Option<Moment>,
    ) -> Result<Standard, Error> {
        self.reading(|| self.hub.standard(site, document, at)).await
    }

    /// The releases that concern a site, or all, in the order of the feed.
    pub fn releases(&self, view: &View) -> BoxStream<'static, Result<Release, Error>> {
        let view = view.clone();
        self.paged(move |client, page| {
            let view = view.clone();
            async move { client.reading(|| client.hub.releases(&view, &page)).await }
        })
    }

    /// Who is on what: what each site that they address has said of the entries at these positions.
    /// By position and then by site.
    pub fn adoption(
        &self,
        site: Option<&SiteId>,
        positions: impl RangeBounds<u64>,
    ) -> BoxStream<'static, Result<Adoption, Error>> {
        let Some((from_position, to_position)) = bounds(&positions) else {
            return stream::empty().boxed();
        };
        let of = AdoptionOf { site: site.cloned(), from_position, to_position };
        self.paged(move |client, page| {
            let of = of.clone();
            async move { client.reading(|| client.hub.adoption(&of, &page)).await }
        })
    }

    /// Says what a kitchen says of entries. Repeating it changes nothing.
    pub(crate) async fn acknowledge(&self, said: &[Acknowledgement]) -> Result<(), Error> {
        self.reading(|| self.hub.acknowledge(said)).await
    }

    /// All items of a list whose pages are asked for one after the other, as they are needed.
    pub(super) fn paged<T, F>(
        &self,
        ask: impl Fn(Self, String) -> F + Send + 'static,
    ) -> BoxStream<'static, Result<T, Error>>
    where
        T: Send + 'static,
        F: Future<Output = Result<Page<T>, Error>> + Send + 'static,
    {
        let client = self.clone();
        let pages = stream::try_unfold(Some(String::new()), move |token| {
            let asked = token.map(|token| ask(client.clone(), token));
            async move {
                let Some(asked) = asked else { return Ok::<_, Error>(None) };
                let Page { items, next } = asked.await?;
                let next = (!next.is_empty()).then_some(next);
                Ok(Some((stream::iter(items.into_iter().map(Ok)), next)))
            }
        });
        pages.try_flatten().boxed()
    }
}

/// The first and the last position, with 0 for an end that is open; nothing of an empty range.
fn bounds(positions: &impl RangeBounds<u64>) -> Option<(u64, u64)> {
    let first = match positions.start_bound() {
        Bound::Included(first) => *first,
        Bound::Excluded(before) => before.checked_add(1)?,
        Bound::Unbounded => 0,
    };
    let last = match positions.end_bound() {
        Bound::Included(last) => *last,
        Bound::Excluded(after) => after.checked_sub(1)?,
        Bound::Unbounded => return Some((first, 0)),
    };
    // There is no position 0, and 0 would ask for all.
    (last >= first.max(1)).then_some((first, last))
}

#[cfg(test)]
mod tests {
    use super::bounds;

    #[test]
    fn ranges_are_asked_for_as_they_are_meant() {
        assert_eq!(bounds(&..), Some((0, 0)));
        assert_eq!(bounds(&(3..)), Some((3, 0)));
        assert_eq!(bounds(&(3..=5)), Some((3, 5)));
        assert_eq!(bounds(&(3..5)), Some((3, 4)));
        assert_eq!([bounds(&(0..=0)), bounds(&(3..3)), bounds(&(0..1))], [None; 3]);
    }
}
