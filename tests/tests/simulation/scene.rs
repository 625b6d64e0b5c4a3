//! Who is there, what breaks, and whether all are equal in the end.

use std::cell::RefCell;
use std::rc::Rc;
use std::sync::Arc;
use std::time::Duration;

use chablon_sdk::SignedBytes;
use chablon_sdk::model::Moment;
use chablon_server::{Clock, Hub};
use chablon_store::{HubStore, MemoryHub};
use chablon_testkit::trust::{HUB_KEY, ROOT_KEYS, key, root, signed_root};
use rand::rngs::StdRng;
use rand::{RngExt as _, SeedableRng as _};
use tokio_util::sync::CancellationToken;
use turmoil::Sim;

use crate::chef::Chef;
use crate::faulty::{Fault, Faulty};
use crate::kitchen::Kitchen;
use crate::ledger::Ledger;
use crate::network::listen;

/// The moment at which all clocks stand: what is in force must not depend on them here.
pub(crate) const NOW: Moment = Moment(1_790_841_600_000);
/// A later one, from which some of what is written holds.
pub(crate) const LATER: Moment = Moment(NOW.0 + 86_400_000);

pub(crate) const HUBS: [&str; 2] = ["hub-1", "hub-2"];
/// A hub that nothing befalls: by it all are judged in the end.
pub(crate) const WITNESS: &str = "witness";
/// Who compacts the store.
const KEEPER: &str = "keeper";
const CHEF: &str = "chef";
/// A kitchen's host, the site, and whether it verifies what is signed, where anything is.
pub(crate) const KITCHENS: [(&str, &str, bool); 4] = [
    ("kitchen-1", "harbour", true),
    ("kitchen-2", "millrace", true),
    ("kitchen-3", "harbour", false),
    ("kitchen-4", "millrace", false),
];

/// How long lines break and hubs fall; from then on all is well.
const TROUBLE: Duration = Duration::from_mins(3);
/// How long views grow before they are compacted.
const GROWING: Duration = Duration::from_secs(25);
/// By when all must have ended, by the clock of the simulation.
const END: Duration = Duration::from_mins(20);

/// What is particular about a simulation.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Group {
    /// The chef signs, the hubs vouch for what they show, and some kitchens have pinned the root.
    pub(crate) signs: bool,
    /// What decides nothing any more is taken out of the views now and then.
    pub(crate) compacts: bool,
    /// What the hubs do wrong, or the store beneath them all.
    pub(crate) fault: Option<Fault>,
}

impl Group {
    /// The same, and the hubs do wrong.
    pub(crate) fn deceived(self, fault: Fault) -> Self {
        Self { fault: Some(fault), ..self }
    }
}

/// Plays one simulation to its end, and gives what was written by then.
pub(crate) fn play(seed: u64, group: Group) -> Result<Ledger, Box<dyn std::error::Error>> {
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
    let shown = Arc::clone(&store);
    sim.host(WITNESS, move || serve(seen_by_the_witness(&shown, group), group));
    let ledger = Rc::new(RefCell::new(Ledger::default()));
    if group.compacts {
        sim.client(KEEPER, compact(store, Rc::clone(&ledger)));
    }
    let (seed, shared) = (random.random(), Rc::clone(&ledger));
    sim.client(CHEF, async move { Chef::new(seed, group, shared).work().await });
    for kitchen in KITCHENS {
        let (seed, ledger) = (random.random(), Rc::clone(&ledger));
        let living =
            async move { Kitchen::open(kitchen, seed, group).await?.keep_up(ledger).await };
        sim.client(kitchen.0, living);
    }
    run(&mut sim, &mut random)?;
    Ok(ledger.take())
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
    KITCHENS.iter().map(|(host, _, _)| *host).chain([CHEF]).collect()
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
    match group.fault {
        Some(fault) => Arc::new(Faulty(Arc::clone(store), fault)),
        None => Arc::clone(store) as Arc<dyn HubStore>,
    }
}

fn seen_by_the_witness(store: &Arc<MemoryHub>, group: Group) -> Arc<dyn HubStore> {
    match group.fault {
        Some(fault) if !fault.is_of_the_store() => Arc::clone(store) as Arc<dyn HubStore>,
        _ => seen(store, group),
    }
}

/// Takes out of the views what decides nothing from now on, again and again until the chef has ended.
/// From then on nobody's list is made to begin anew.
async fn compact(store: Arc<MemoryHub>, ledger: Rc<RefCell<Ledger>>) -> turmoil::Result {
    let mut passed_over = 0;
    loop {
        tokio::time::sleep(GROWING).await;
        if ledger.borrow().end().is_some() {
            break;
        }
        let store = Arc::clone(&store) as Arc<dyn HubStore>;
        let compacted = chablon_server::compact(store, Moment(NOW.0 + 1), NOW).await?;
        passed_over = passed_over.max(compacted.passed_over);
    }
    if passed_over > 0 { Ok(()) } else { Err("nothing was ever passed over".into()) }
}

async fn serve(store: Arc<dyn HubStore>, group: Group) -> turmoil::Result {
    let hub = Hub::new(store).with_clock(Clock::new(|| NOW));
    let hub = if group.signs { hub.with_checkpoint_key(key(HUB_KEY)) } else { hub };
    hub.serve_connections(listen().await?, CancellationToken::new()).await?;
    Ok(())
}

/// The root of a group that signs.
pub(crate) fn first_root() -> SignedBytes {
    signed_root(&root(1), &ROOT_KEYS[..2])
}
