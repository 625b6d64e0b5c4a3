//! Whether a kitchen holds just what concerns it, and just what the witness shows its site.
//!
//! The digest of a state is of the documents in force. It says nothing of why one is in force, of
//! what is stopped, of withdrawals that others have overtaken, nor of deviations: so all of these are
//! read on both sides.

use chablon_sdk::deviations::Submitted;
use chablon_sdk::model::{Deviation, Entry, EntryBody, Moment, SiteId, View, Withdrawal, decided};
use chablon_sdk::{Change, Client, Replica};
use futures::TryStreamExt as _;

use crate::network::{client, insist};
use crate::scene::{LATER, NOW, WITNESS};

/// `expected` is the view that the site must have by what was acknowledged to the chef.
pub(crate) async fn is_equal(replica: &Replica, expected: &[Entry]) -> turmoil::Result {
    let witness = client(&[WITNESS]);
    for at in [NOW, LATER] {
        other_than_shown(replica, &witness, at).await?;
    }
    let (site, held) = (replica.site(), replica.entries().await?);
    let concerns =
        |equal, what: &str| ensure(equal, site, &format!("other {what} than concern it"));
    concerns(withdrawals(&held) == withdrawals(expected), "withdrawals")?;
    concerns(decisions(&held) == decisions(expected), "decisions")?;
    concerns(held == expected, "entries")
}

fn ensure(equal: bool, site: &SiteId, other: &str) -> turmoil::Result {
    if equal { Ok(()) } else { Err(format!("{site} has {other}").into()) }
}

/// Whether the witness shows the same standards, entries and deviations.
async fn other_than_shown(replica: &Replica, witness: &Client, at: Moment) -> turmoil::Result {
    let site = replica.site();
    let shown =
        |equal, what: &str| ensure(equal, site, &format!("other {what} than the hub shows it"));
    let standards = || witness.standards(site, None, Some(at)).try_collect::<Vec<_>>();
    shown(replica.standards(at).await? == insist(standards).await?, "standards")?;
    let view = View::Site(site.clone());
    let pages = insist(|| witness.changes(&view, None).try_collect::<Vec<_>>()).await?;
    let there: Vec<Entry> = pages
        .iter()
        .flat_map(|page| page.entries.iter().map(Change::entry))
        .map(|entry| entry.at_site(site))
        .collect();
    shown(replica.entries().await? == there, "entries")?;
    let deviations = deviations(witness, site, at).await?;
    shown(replica.deviations(at).await? == deviations, "deviations")
}

/// A site's deviations as the hub keeps them beside the feed: those that were decided by a moment.
async fn deviations(
    hub: &Client,
    site: &SiteId,
    at: Moment,
) -> Result<Vec<Deviation>, chablon_sdk::Error> {
    let asked = || hub.deviations(Some(site)).try_collect::<Vec<Submitted>>();
    let last = insist(asked).await?.into_iter().filter_map(|one| one.decided);
    let by_then = |one: &Deviation| one.decision.at().is_some_and(|decided| decided <= at);
    Ok(last.map(|(_, decided)| decided).filter(by_then).collect())
}

fn withdrawals(entries: &[Entry]) -> Vec<(u64, &Withdrawal)> {
    entries.iter().filter_map(withdrawal).collect()
}

fn withdrawal(entry: &Entry) -> Option<(u64, &Withdrawal)> {
    match &entry.body {
        EntryBody::Withdrawal(one) => Some((entry.position, one)),
        EntryBody::Release(_) | EntryBody::Deviation(_) => None,
    }
}

fn decisions(entries: &[Entry]) -> Vec<(u64, &Deviation)> {
    decided(entries, LATER).into_values().collect()
}
