//! Who is there, what breaks, and whether all are equal in the end.

use std::cell::Cell;
use std::collections::BTreeSet;
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;

use chablon_sdk::model::{Audience, Entry, EntryBody, Moment, SiteId, View};
use chablon_sdk::publish::Terms;
use chablon_sdk::{Change, Client, Error, Pin, Replica, SignedBytes};
use chablon_server::{Clock, Hub};
use chablon_store::{HubStore, MemoryHub};
use chablon_testkit::sample;
use chablon_testkit::trust::{HUB_KEY, RELEASE_KEYS, ROOT_KEYS, key, root, signed_root};
use futures::TryStreamExt as _;
use rand::rngs::StdRng;
use rand::{RngExt as _, SeedableRng as _};
use tokio_util::sync::CancellationToken;
use turmoil::Sim;

use crate::faulty::{Fault, Faulty};
use crate::network::{client, listen};

/// The moment at which all clocks stand: what is in force must not depend on them here.
const NOW: Moment = Moment(1_790_841_600_000);

const HUBS: [&str; 2] = ["hub-1", "hub-2"];
/// A hub that nothing befalls: by it all are judged in the end.
const WITNESS: &str = "witness";
const CHEF: &str = "chef";
/// A kitchen's host, and the site.
const KITCHENS: [(&str, &str); 4] = [
    ("kitchen-1", "harbour"),
    ("kitchen-2", "millrace"),
    ("kitchen-3", "harbour"),
    ("kitchen-4", "millrace"),
];

/// How many corrections the chef releases.
pub(crate) const CORRECTIONS: u64 = 25;
/// How long the chef rests between two, at most.
const REST: Duration = Duration::from_secs(10);
/// How long lines break and hubs fall; from then on all is well.
const TROUBLE: Duration = Duration::from_mins(3);
/// By when all must have ended, by the clock of the simulation.
const END: Duration = Duration::from_mins(20);

/// What is particular about a simulation.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Group {
    /// Nobody signs anything.
    Unsigned,
    /// The chef signs, the hubs vouch for what they show, and the kitchens have pinned the root.
    Signed,
    /// Nobody signs anything, and the hubs do wrong.
    Deceived(Fault),
}

impl Group {
    fn signs(self) -> bool {
        matches!(self, Self::Signed)
    }
}

/// Plays one simulation to its end.
pub(crate) fn play(seed: u64, group: Group) -> Result<(), Box<dyn std::error::Error>> {
    let mut random = StdRng::seed_from_u64(seed);
    let mut sim = turmoil::Builder::new()
        .simulation_duration(END)
        .tick_duration(Duration::from_millis(10))
        .min_message_latency(Duration::from_millis(1))
        .max_message_latency(Duration::from_millis(150))
        .tcp_capacity(1024)
        .rng_seed(seed)
        .build();
    let store = Arc::new(MemoryHub::new("simulated".parse()?));
    for hub in HUBS {
        let store = Arc::clone(&store);
        sim.host(hub, move || serve(seen(&store, group), group));
    }
    sim.host(WITNESS, move || serve(Arc::clone(&store) as Arc<dyn HubStore>, group));
    // The chef's last position, once there is no more to come.
    let last = Rc::new(Cell::new(None));
    let dice = StdRng::seed_from_u64(random.random());
    sim.client(CHEF, release_all(dice, Rc::clone(&last), group));
    for (host, site) in KITCHENS {
        let dice = StdRng::seed_from_u64(random.random());
        sim.client(host, keep_up(site, dice, Rc::clone(&last), group));
    }
    run(&mut sim, &mut random)
}

/// Steps through the simulation and breaks what the dice say, until everybody has ended.
fn run(sim: &mut Sim<'_>, random: &mut StdRng) -> Result<(), Box<dyn std::error::Error>> {
    let mut next = Duration::ZERO;
    let mut mended = false;
    loop {
        if sim.elapsed() >= TROUBLE && !mended {
            mend(sim);
            mended = true;
        }
        if sim.elapsed() >= next && !mended {
            break_something(sim, random);
            next = sim.elapsed() + Duration::from_millis(random.random_range(200..4000));
        }
        if sim.step()? {
            return Ok(());
        }
    }
}

fn clients() -> Vec<&'static str> {
    KITCHENS.iter().map(|(host, _)| *host).chain([CHEF]).collect()
}

fn break_something(sim: &mut Sim<'_>, random: &mut StdRng) {
    let hub = HUBS[random.random_range(0..HUBS.len())];
    let clients = clients();
    let client = clients[random.random_range(0..clients.len())];
    match random.random_range(0..12) {
        0..=2 => sim.partition(client, hub),
        3 => sim.partition_oneway(hub, client),
        4 => sim.hold(client, hub),
        5..=9 => {
            sim.release(client, hub);
            sim.repair(client, hub);
        }
        _ if sim.is_host_running(hub) => sim.crash(hub),
        _ => sim.bounce(hub),
    }
}

fn mend(sim: &mut Sim<'_>) {
    for hub in HUBS {
        for client in clients() {
            sim.release(client, hub);
            sim.repair(client, hub);
        }
        if !sim.is_host_running(hub) {
            sim.bounce(hub);
        }
    }
}

fn seen(store: &Arc<MemoryHub>, group: Group) -> Arc<dyn HubStore> {
    match group {
        Group::Deceived(fault) => Arc::new(Faulty(Arc::clone(store), fault)),
        Group::Unsigned | Group::Signed => Arc::clone(store) as Arc<dyn HubStore>,
    }
}

async fn serve(store: Arc<dyn HubStore>, group: Group) -> turmoil::Result {
    let hub = Hub::new(store).with_clock(Clock::new(|| NOW));
    let hub = if group.signs() { hub.with_checkpoint_key(key(HUB_KEY)) } else { hub };
    hub.serve_connections(listen().await?, CancellationToken::new()).await?;
    Ok(())
}

/// Asks until there is an answer.
async fn insist<T, F>(mut ask: impl FnMut() -> F) -> Result<T, Error>
where
    F: Future<Output = Result<T, Error>>,
{
    loop {
        match ask().await {
            Err(error) if error.may_retry() || error.outcome_unknown() => {
                tokio::time::sleep(Duration::from_millis(200)).await;
            }
            other => return other,
        }
    }
}

/// The chef: the small book, then one correction after the other to all or to some.
async fn release_all(
    mut dice: StdRng,
    last: Rc<Cell<Option<u64>>>,
    group: Group,
) -> turmoil::Result {
    let client = client(&HUBS);
    if group.signs() {
        let root = first_root();
        insist(|| client.add_root(&root)).await?;
    }
    let mut documents = sample::book().documents();
    let (mut position, mut acknowledged) = (0, Vec::new());
    for number in 0..=CORRECTIONS {
        let audience = match number % 3 {
            2 => Audience::site("millrace".parse()?),
            _ => Audience::All,
        };
        let audience = if number == 0 { Audience::All } else { audience };
        let terms = Terms::new(NOW, format!("Correction {number}"), "A chef").to(audience);
        let mut draft = insist(|| client.draft(&documents, &terms)).await?;
        if group.signs() {
            draft.sign(&key(RELEASE_KEYS[0]));
        }
        let recorded = insist(|| client.release(&draft)).await?;
        if recorded.first_position <= position {
            return Err(format!("{recorded:?} does not stand after {position}").into());
        }
        position = recorded.last_position;
        acknowledged.push((position, terms.note.clone()));
        note(&mut documents, number);
        tokio::time::sleep(REST.mul_f64(dice.random())).await;
    }
    nothing_is_lost(&acknowledged).await?;
    last.set(Some(position));
    Ok(())
}

/// Whether all that was acknowledged to the chef is in the feed that the witness shows, where it was
/// said to be.
async fn nothing_is_lost(acknowledged: &[(u64, String)]) -> turmoil::Result {
    let client = client(&[WITNESS]);
    let pages = insist(|| client.changes(&View::Whole, None).try_collect::<Vec<_>>()).await?;
    let noted = |change: &Change| match &change.says {
        EntryBody::Release(manifest) => Some((change.position, manifest.note.clone())),
        _ => None,
    };
    let there: BTreeSet<_> =
        pages.iter().flat_map(|page| page.entries.iter().filter_map(noted)).collect();
    match acknowledged.iter().find(|one| !there.contains(*one)) {
        Some(lost) => Err(format!("{lost:?} was acknowledged and is lost").into()),
        None => Ok(()),
    }
}

/// The root of a group that signs.
fn first_root() -> SignedBytes {
    signed_root(&root(1), &ROOT_KEYS[..2])
}

/// Another note on the custard.
fn note(documents: &mut [chablon_sdk::model::DocumentContent], number: u64) {
    for document in documents {
        if let chablon_sdk::model::DocumentContent::Recipe(recipe) = document
            && recipe.id.as_str() == "custard"
        {
            recipe.note = Some(format!("Corrected {number} times"));
        }
    }
}

/// A kitchen: it follows, is dropped in the middle of whatever it does, and follows again, until it
/// holds the chef's last change; then it must be equal to the hub.
async fn keep_up(
    site: &str,
    mut dice: StdRng,
    last: Rc<Cell<Option<u64>>>,
    group: Group,
) -> turmoil::Result {
    let client = client(&HUBS);
    let replica = Replica::in_memory(site.parse()?).await?.with_clock(|| NOW);
    if group.signs() {
        // By its bytes, which came by another way: no hub is asked.
        replica.pin(&client, &Pin::Root(first_root())).await?;
    }
    loop {
        let life = tokio::time::sleep(Duration::from_mins(1).mul_f64(dice.random()));
        match replica.follow(&client, life, |_| ()).await {
            // The site is known once the first release is there.
            Err(error) if error.is_not_found() => {
                tokio::time::sleep(Duration::from_secs(1)).await;
            }
            other => other?,
        }
        replica.check().await?;
        let held = replica.status().await?.cursor.map_or(0, |cursor| cursor.position);
        if last.get().is_some_and(|last| held >= last) {
            return is_equal(&replica, &client).await;
        }
    }
}

/// Whether a replica holds just what the witness shows its site.
async fn is_equal(replica: &Replica, followed: &Client) -> turmoil::Result {
    let site: SiteId = replica.site().clone();
    let (site, view) = (&site, View::Site(site.clone()));
    insist(|| replica.sync(followed)).await?;
    let client = client(&[WITNESS]);
    let there: Vec<_> =
        insist(|| client.standards(site, None, Some(NOW)).try_collect::<Vec<_>>()).await?;
    if replica.standards(NOW).await? != there {
        return Err(format!("{site} has other standards than the hub shows it").into());
    }
    let pages = insist(|| client.changes(&view, None).try_collect::<Vec<_>>()).await?;
    let there: Vec<Entry> =
        pages.iter().flat_map(|page| page.entries.iter().map(Change::entry)).collect();
    if replica.entries().await? != there {
        return Err(format!("{site} holds other entries than the hub shows it").into());
    }
    Ok(())
}
