//! Who is on what.

use std::collections::BTreeMap;

use chablon_model::{
    Digest, DocumentContent, DocumentKey, DocumentKind, Entry, Moment, Site, SiteId, Standing,
    View, in_force, standings,
};
use chablon_sdk::{Adoption, Client, Error, Listed, decided_by};
use futures::TryStreamExt;

/// How far a site is with a standard.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum At {
    /// It works by it, since that moment.
    InUse(Moment),
    /// It has it, since that moment, and hasn't said that it works by it.
    Received(Moment),
    /// It hasn't got it yet.
    Behind(On),
}

/// What a site goes by that is behind: what is the standard by all that it has got.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum On {
    /// This revision.
    Revision(u32),
    /// It makes none.
    Stopped,
    /// It has got nothing of the document yet.
    Nothing,
}

/// What is in force at a site, with how far the site is.
#[derive(Debug)]
pub(crate) struct SiteStandings {
    pub(crate) site: Site,
    pub(crate) rows: Vec<(Listed, At)>,
}

/// The sites that a hub knows, by id.
pub(crate) async fn sites(client: &Client) -> Result<Vec<Site>, Error> {
    let latest: Vec<_> = client.documents(&View::Whole).try_collect().await?;
    let sites = latest.iter().filter(|one| one.key.kind == DocumentKind::Site);
    let digests: Vec<Digest> = sites.map(|one| one.digest).collect();
    let mut revisions = client.revisions(&View::Whole, digests);
    let mut sites = Vec::new();
    while let Some(frozen) = revisions.try_next().await? {
        if let DocumentContent::Site(site) = frozen.read()?.content {
            sites.push(site);
        }
    }
    Ok(sites)
}

/// What is in force at a site of the documents that are wanted.
pub(crate) async fn site_standings(
    client: &Client,
    site: Site,
    at: Moment,
    wanted: impl Fn(&DocumentKey) -> bool,
) -> Result<SiteStandings, Error> {
    let entries = entries(client, &site.id).await?;
    let adoption = adoption(client, &site.id, &entries).await?;
    let has =
        |entry: &&Entry| adoption.get(&entry.position).is_some_and(|one| one.received_at.is_some());
    let received: Vec<Entry> = entries.iter().filter(has).cloned().collect();
    let standings = standings(&entries, at);
    let rows = standings.iter().filter(|(key, _)| wanted(key)).filter_map(|(key, standing)| {
        let listed = Listed::of((*key).clone(), standing)?;
        let decided = decided_by(&entries, standing)?;
        let adopted = adoption.get(&decided);
        Some((listed, how_far(adopted, &in_force(&received, key, at))))
    });
    let rows = rows.collect();
    Ok(SiteStandings { site, rows })
}

async fn entries(client: &Client, site: &SiteId) -> Result<Vec<Entry>, Error> {
    let mut changes = client.changes(&View::Site(site.clone()), None);
    let mut entries = Vec::new();
    while let Some(stretch) = changes.try_next().await? {
        entries.extend(stretch.entries.iter().map(chablon_sdk::Change::entry));
    }
    Ok(entries)
}

/// What a site has said, by position.
async fn adoption(
    client: &Client,
    site: &SiteId,
    entries: &[Entry],
) -> Result<BTreeMap<u64, Adoption>, Error> {
    let positions = || entries.iter().map(|entry| entry.position);
    let Some((first, last)) = positions().min().zip(positions().max()) else {
        return Ok(BTreeMap::new());
    };
    let said: Vec<Adoption> = client.adoption(Some(site), first..=last).try_collect().await?;
    Ok(said.into_iter().map(|one| (one.position, one)).collect())
}

fn how_far(adopted: Option<&Adoption>, by_what_it_has: &Standing<'_>) -> At {
    let said = adopted.map(|one| (one.in_use_at, one.received_at));
    match said {
        Some((Some(since), _)) => At::InUse(since),
        Some((None, Some(since))) => At::Received(since),
        Some((None, None)) | None => At::Behind(match by_what_it_has {
            Standing::InForce { revision, .. } => On::Revision(revision.number),
            Standing::Stopped { .. } => On::Stopped,
            Standing::None => On::Nothing,
        }),
    }
}
