//! A hub, a chef and a kitchen.

use std::time::Duration;

use chablon_sdk::model::{
    Amount, Audience, DocumentContent, Entry, Moment, Recipe, RecipeId, Site, SiteId, View,
};
use chablon_sdk::publish::{GoOn, Taking, Terms};
use chablon_sdk::quantity::{Authored, MassUnit, Number};
use chablon_sdk::{Client, Listed, Options, Recorded, Replica};
use chablon_testkit::{Keeping, TestHub, sample};
use futures::TryStreamExt;

/// The moment at which the test's hub stands still: 2026-10-01T08:00:00Z.
pub(crate) const NOW: Moment = Moment(1_790_841_600_000);

/// Pauses that a test can wait for, and pages that are soon full.
pub(crate) fn quick() -> Options {
    Options::default()
        .with_deadline(Duration::from_secs(5))
        .with_connect_timeout(Duration::from_secs(1))
        .with_retries(2)
        .with_first_pause(Duration::from_millis(5))
        .with_longest_pause(Duration::from_millis(50))
        .with_page_size(3)
}

pub(crate) fn client_of(addresses: impl IntoIterator<Item = String>) -> Client {
    Client::connect(addresses, quick()).expect("addresses")
}

pub(crate) fn client(hub: &TestHub) -> Client {
    client_of([hub.url()])
}

/// A release to everyone that holds from now.
pub(crate) fn terms(note: &str) -> Terms {
    Terms::new(NOW, note, "Group pastry chef")
}

/// Releases what has changed.
pub(crate) async fn release(
    client: &Client,
    documents: &[DocumentContent],
    terms: &Terms,
) -> Recorded {
    let draft = client.draft(documents, terms).await.expect("a draft");
    client.release(&draft).await.expect("a release")
}

/// Takes back what was released last of a recipe.
pub(crate) async fn withdraw(client: &Client, recipe: &str, go_on: GoOn, reason: &str) -> Recorded {
    let document = format!("recipe/{recipe}").parse().expect("a document");
    let taking = Taking::back(document, go_on, NOW, reason, "Group pastry chef");
    let draft = client.draft_withdrawal(taking).await.expect("a draft");
    client.withdraw(&draft).await.expect("a withdrawal")
}

/// A hub with the small book released to everyone.
pub(crate) async fn hub_with_book(keeping: Keeping) -> (TestHub, Client) {
    let hub = TestHub::start(keeping).await;
    let client = client(&hub);
    release(&client, &sample::book().documents(), &terms("First standards")).await;
    (hub, client)
}

pub(crate) fn site(id: &str) -> SiteId {
    id.parse().expect("a site")
}

pub(crate) fn recipe(id: &str) -> RecipeId {
    id.parse().expect("a recipe")
}

/// A kitchen's replica in memory whose clock stands still.
pub(crate) async fn kitchen(id: &str) -> Replica {
    Replica::in_memory(site(id)).await.expect("a replica").with_clock(|| NOW)
}

/// Sets the mass of a recipe's first line.
pub(crate) fn first_line(documents: &mut [DocumentContent], recipe: &str, grams: i64) {
    let amount = Amount::Mass(Authored::new(Number::whole(grams), MassUnit::Gram));
    edit(documents, recipe, |recipe| recipe.lines[0].amount = amount);
}

/// Changes a recipe's note, and so no figure.
pub(crate) fn note(documents: &mut [DocumentContent], recipe: &str, text: &str) {
    edit(documents, recipe, |recipe| recipe.note = Some(text.to_owned()));
}

fn edit(documents: &mut [DocumentContent], recipe: &str, change: impl FnOnce(&mut Recipe)) {
    let found = documents.iter_mut().find_map(|content| match content {
        DocumentContent::Recipe(one) if one.id.as_str() == recipe => Some(one),
        _ => None,
    });
    change(found.expect("the recipe"));
}

/// Puts a site in other groups.
pub(crate) fn regroup(documents: &mut [DocumentContent], site: &str, groups: &[&str]) {
    let found = documents.iter_mut().find_map(|content| match content {
        DocumentContent::Site(one) if one.id.as_str() == site => Some(one),
        _ => None,
    });
    let Site { groups: old, .. } = found.expect("the site");
    *old = groups.iter().map(|group| group.parse().expect("a group")).collect();
}

pub(crate) fn group(id: &str) -> Audience {
    let groups = [id.parse().expect("a group")].into();
    Audience::Of { groups, sites: [].into() }
}

/// What is in force at a site by the hub's own answer.
pub(crate) async fn by_the_hub(client: &Client, site: &SiteId, at: Moment) -> Vec<Listed> {
    client.standards(site, None, Some(at)).try_collect().await.expect("standards")
}

/// The whole feed.
pub(crate) async fn feed(client: &Client) -> Vec<Entry> {
    let pages: Vec<_> =
        client.changes(&View::Whole, None).try_collect().await.expect("the whole feed");
    pages.iter().flat_map(|page| page.entries.iter().map(chablon_sdk::Change::entry)).collect()
}

/// Whether a replica holds just what the hub shows its site.
pub(crate) async fn assert_equal(replica: &Replica, client: &Client) {
    let site = replica.site();
    assert_eq!(replica.standards(NOW).await.unwrap(), by_the_hub(client, site, NOW).await);
    let pages = client.changes(&View::Site(site.clone()), None);
    let pages: Vec<_> = pages.try_collect().await.expect("the site's view");
    let entries = pages.iter().flat_map(|page| &page.entries).map(|one| one.entry().at_site(site));
    assert_eq!(replica.entries().await.unwrap(), entries.collect::<Vec<_>>());
    replica.check().await.expect("all of it is whole");
}
