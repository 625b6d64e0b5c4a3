//! Where something is used, over all kitchens.

use chablon_model::{
    DocumentContent, DocumentKind, Entry, EntryBody, RevisionRef, Site, SiteId, View,
};
use futures::TryStreamExt;

use super::Client;
use crate::where_used::{Shelf, Sought, Use, ever_in_force};
use crate::{Change, Error};

impl Client {
    /// Every recipe at every kitchen that uses something, or did or will, with its time. By site,
    /// then by recipe, then by time.
    pub async fn where_used(&self, sought: &Sought) -> Result<Vec<Use>, Error> {
        let (whole, mut stock) = (self.whole_feed().await?, Shelf::default());
        let mut views: Vec<(SiteId, Vec<Entry>)> = Vec::new();
        for site in self.sites().await? {
            let own = whole.iter().filter(|entry| concerns(entry, &site));
            let entries: Vec<Entry> = own.map(|entry| entry.clone().at_site(&site.id)).collect();
            self.fill(&mut stock, ever_in_force(&entries).into_iter().collect()).await?;
            views.push((site.id, entries));
        }
        let keys = stock.keys(sought);
        let of = |(site, entries): &(SiteId, Vec<Entry>)| stock.uses(site, entries, &keys);
        Ok(views.iter().flat_map(of).collect())
    }

    /// The sites that the hub knows, by id.
    pub async fn sites(&self) -> Result<Vec<Site>, Error> {
        let latest: Vec<_> = self.documents(&View::Whole).try_collect().await?;
        let described = latest.iter().filter(|one| one.key.kind == DocumentKind::Site);
        let digests: Vec<_> = described.map(|one| one.digest).collect();
        let mut revisions = self.revisions(&View::Whole, digests);
        let mut known = Vec::new();
        while let Some(frozen) = revisions.try_next().await? {
            if let DocumentContent::Site(site) = frozen.read()?.content {
                known.push(site);
            }
        }
        Ok(known)
    }

    /// All of it: a site's own view may have been compacted.
    pub(super) async fn whole_feed(&self) -> Result<Vec<Entry>, Error> {
        let whole = self.all_changes(&View::Whole).await?;
        Ok(whole.entries.iter().map(Change::entry).collect())
    }

    /// Adds revisions to a stock, and all that they pin.
    pub(super) async fn fill(
        &self,
        stock: &mut Shelf,
        mut wanted: Vec<RevisionRef>,
    ) -> Result<(), Error> {
        wanted.retain(|one| !stock.has(one));
        while !wanted.is_empty() {
            let digests: Vec<_> = wanted.iter().map(|one| one.digest).collect();
            let mut revisions = self.revisions(&View::Whole, digests);
            while let Some(frozen) = revisions.try_next().await? {
                stock.put(frozen.reference().clone(), frozen.read()?);
            }
            wanted = stock.wanted();
        }
        Ok(())
    }
}

/// Whether an entry is in a site's view.
fn concerns(entry: &Entry, site: &Site) -> bool {
    let groups = site.groups.iter().cloned().collect();
    match &entry.body {
        EntryBody::Release(manifest) => manifest.audience.addresses(&site.id, &groups),
        EntryBody::Withdrawal(withdrawal) => withdrawal.audience.addresses(&site.id, &groups),
        EntryBody::Deviation(deviation) => deviation.site == site.id,
    }
}
