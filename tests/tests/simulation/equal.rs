//! Whether a kitchen holds just what concerns it, and just what the witness shows its site.
//!
//! The digest of a state is of the documents in force. It says nothing of why one is in force, of
//! what is stopped, of withdrawals that others have overtaken, nor of deviations: so all of these are
//! read on both sides.

use chablon_sdk::deviations::Submitted;
use chablon_sdk::model::{
    Deviation, DocumentKey, Entry, EntryBody, Moment, SiteId, Standing, View, Withdrawal, decided,
    standings,
};
use chablon_sdk::{Client, Listed as Standard, Replica};
use futures::TryStreamExt as _;

use crate::network::{client, insist};
use crate::scene::{LATER, NOW, WITNESS};

/// What a kitchen must hold.
pub(crate) struct Expected {
    /// Its site's view, by what was acknowledged to the chef.
    pub(crate) view: Vec<Entry>,
    /// Whether releases may be missing that decide nothing any more: who was there before a
    /// compaction has more of them than who began later.
    pub(crate) compacted: bool,
}

pub(crate) async fn is_equal(replica: &Replica, expected: &Expected) -> turmoil::Result {
    let Expected { view, compacted } = expected;
    let (site, held) = (replica.site(), replica.entries().await?);
    as_the_hub_shows(replica, *compacted).await?;
    let concerns =
        |equal, what: &str| ensure(equal, site, &format!("other {what} than concern it"));
    concerns(withdrawals(&held) == withdrawals(view), "withdrawals")?;
    concerns(decisions(&held) == decisions(view), "decisions")?;
    let some_of = |view: &[Entry]| held.iter().all(|one| view.contains(one));
    concerns(if *compacted { some_of(view) } else { held == *view }, "entries")?;
    let in_force = |entries, at| {
        let standing = |(key, it): (&DocumentKey, Standing<'_>)| Standard::of(key.clone(), &it);
        standings(entries, at).into_iter().filter_map(standing).collect::<Vec<_>>()
    };
    let standards = [NOW, LATER].map(|at| in_force(&held[..], at) == in_force(&view[..], at));
    concerns(standards == [true; 2], "standards")
}

fn ensure(equal: bool, site: &SiteId, other: &str) -> turmoil::Result {
    if equal { Ok(()) } else { Err(format!("{site} has {other}").into()) }
}

/// Whether the witness shows the same standards, entries and deviations.
async fn as_the_hub_shows(replica: &Replica, compacted: bool) -> turmoil::Result {
    let (site, witness) = (replica.site(), client(&[WITNESS]));
    let shown =
        |equal, what: &str| ensure(equal, site, &format!("other {what} than the hub shows it"));
    for at in [NOW, LATER] {
        let standards = || witness.standards(site, None, Some(at)).try_collect::<Vec<_>>();
        shown(replica.standards(at).await? == insist(standards).await?, "standards")?;
        let deviations = deviations(&witness, site, at).await?;
        shown(replica.deviations(at).await? == deviations, "deviations")?;
    }
    let view = View::Site(site.clone());
    let pages = insist(|| witness.changes(&view, None).try_collect::<Vec<_>>()).await?;
    let there = pages.iter().flat_map(|page| &page.entries).map(|one| one.entry().at_site(site));
    shown(compacted || replica.entries().await? == there.collect::<Vec<_>>(), "entries")
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
