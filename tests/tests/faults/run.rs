//! A run: everybody at work while things go wrong, and what they saw.

use std::path::Path;
use std::sync::Arc;
use std::time::Instant;

use chablon_sdk::model::{Deviation, Digest, Moment, SiteId, View};
use chablon_sdk::publish::Terms;
use chablon_sdk::{Client, Listed, Options, Replica, StandardState, now};
use chablon_store::digest_of;
use chablon_testkit::Proxy;
use chablon_testkit::postgres::{Cluster, TestDatabase};
use chablon_tests::{chablon, succeed};
use futures::TryStreamExt as _;
use rand::rngs::StdRng;
use rand::{RngExt as _, SeedableRng as _};
use tokio::task::{JoinSet, spawn_blocking};
use tokio_util::sync::CancellationToken;

use crate::group::{self, KITCHENS, book};
use crate::harm::{self, Budget};
use crate::history::{Acknowledged, History, entries};
use crate::hubs::Place;
use crate::kitchens::{Finished, Kitchen};
use crate::watchers::Watcher;
use crate::writers::{WRITERS, Writer, insist};
use crate::{history, tell};

/// How many hubs serve the one database.
const HUBS: usize = 3;

/// Everybody, before anything goes wrong.
struct Scene {
    cluster: Arc<Cluster>,
    _database: TestDatabase,
    hubs: Vec<Place>,
    ways: Vec<Arc<Proxy>>,
}

impl Scene {
    async fn set() -> Self {
        let cluster = spawn_blocking(Cluster::start).await.expect("the server starts");
        let database = TestDatabase::of(&cluster).await;
        succeed(&mut chablon(&["hub", "migrate", "--store", database.url()]));
        let hubs: Vec<Place> = (0..HUBS).map(|_| Place::start(database.url())).collect();
        let mut ways = Vec::new();
        for hub in &hubs {
            let address = hub.address().parse().expect("an address");
            ways.push(Arc::new(Proxy::to(address).await));
        }
        Self { cluster: Arc::new(cluster), _database: database, hubs, ways }
    }

    /// The addresses of all hubs by their ways, another one first for each who asks.
    fn addresses(&self, number: usize) -> Vec<String> {
        let mut addresses: Vec<String> = self.ways.iter().map(|way| way.url()).collect();
        addresses.rotate_left(number % HUBS);
        addresses
    }

    fn client(&self, number: usize) -> Client {
        connect(self.addresses(number))
    }
}

fn connect(addresses: impl IntoIterator<Item = String>) -> Client {
    Client::connect(addresses, Options::default()).expect("addresses")
}

/// Lets everybody work through so many faults, then waits for quiet and asks everybody.
pub(crate) async fn run(faults: u32, mut random: StdRng) -> History {
    let scene = Scene::set().await;
    let folder = tempfile::tempdir().expect("a temporary folder");
    first_release(&scene.client(0)).await;
    let begun = Instant::now();
    let watchers = Watcher::start_all(|number| scene.client(number));
    let stop = CancellationToken::new();
    let writers: JoinSet<_> = (0..WRITERS)
        .map(|number| {
            let (client, random) = (scene.client(number), StdRng::from_rng(&mut random));
            Writer::new(number, client, random, begun).write(stop.clone())
        })
        .collect();
    let kitchens = (0..KITCHENS).map(|number| kitchen(&scene, folder.path(), number)).collect();
    let (scene, kitchens) = harm_all(scene, kitchens, faults, &mut random).await;
    tell(&format!("{faults} faults took {} s", begun.elapsed().as_secs()));
    stop.cancel();
    let acknowledged = writers.join_all().await.into_iter().flatten().collect();
    ask_all(&scene, watchers, kitchens, acknowledged).await
}

async fn first_release(client: &Client) {
    let terms = Terms::new(now(), "First standards", "A chef");
    let draft = client.draft(&book(), &terms).await.expect("a draft");
    client.release(&draft).await.expect("a release");
}

fn kitchen(scene: &Scene, folder: &Path, number: usize) -> Kitchen {
    Kitchen::start(folder, group::site(number), &scene.addresses(number))
}

async fn harm_all(
    mut scene: Scene,
    kitchens: Vec<Kitchen>,
    faults: u32,
    random: &mut StdRng,
) -> (Scene, Vec<Kitchen>) {
    let budget = Budget::of(faults, HUBS.try_into().expect("few hubs"));
    let mut dice = || StdRng::seed_from_u64(random.random());
    let to_ways: JoinSet<()> = scene
        .ways
        .iter()
        .map(|way| harm::to_way(Arc::clone(way), budget.each_way, dice()))
        .collect();
    let to_kitchens = tokio::spawn(harm::to_kitchens(kitchens, budget.kitchens, dice()));
    let to_hubs = tokio::spawn(harm::to_hubs(scene.hubs, budget.hubs, dice()));
    let cluster = Arc::clone(&scene.cluster);
    let to_database = tokio::spawn(harm::to_database(cluster, budget.database, dice()));
    to_ways.join_all().await;
    to_database.await.expect("the database lives");
    scene.hubs = to_hubs.await.expect("the hubs live");
    (scene, to_kitchens.await.expect("the kitchens live"))
}

async fn ask_all(
    scene: &Scene,
    watchers: Vec<Watcher>,
    kitchens: Vec<Kitchen>,
    acknowledged: Vec<Acknowledged>,
) -> History {
    // Straight to one hub: what the ways do is over.
    let hub = connect([format!("http://{}", scene.hubs[0].address())]);
    let head = insist(|| hub.head(&View::Whole)).await.cursor.position;
    tell(&format!("{} entries were acknowledged, the feed has {head}", acknowledged.len()));
    let resting = kitchens.into_iter().map(|kitchen| kitchen.finish(head));
    let resting = futures::future::join_all(resting).await;
    let mut history = History { acknowledged, ..History::default() };
    let stretches: Vec<_> = hub.changes(&View::Whole, None).try_collect().await.expect("the feed");
    history.feed = entries(&stretches);
    for watcher in watchers {
        history.watched.insert(watcher.name.clone(), watcher.finish(&hub).await);
    }
    let at = now();
    for kitchen in resting {
        let (site, asked) = ask(scene, &hub, kitchen, at).await;
        history.kitchens.insert(site, asked);
    }
    history
}

/// A kitchen's history, with what each hub and the kitchen itself say in the end.
async fn ask(
    scene: &Scene,
    hub: &Client,
    kitchen: Finished,
    at: Moment,
) -> (SiteId, history::Kitchen) {
    let Finished { site, file, told, held } = kitchen;
    let view = hub.changes(&View::Site(site.clone()), None).try_collect::<Vec<_>>().await;
    let adopted = hub.adoption(Some(&site), ..).try_collect::<Vec<_>>().await;
    let received = adopted.expect("the hub knows who received what").into_iter();
    let received = received.filter(|one| one.received_at.is_some()).map(|one| one.position);
    let mut states = Vec::new();
    for place in &scene.hubs {
        let client = connect([format!("http://{}", place.address())]);
        let standards = client.standards(&site, None, Some(at)).try_collect::<Vec<_>>().await;
        let asked = client.deviations(Some(&site)).try_collect::<Vec<_>>().await;
        let decided = asked.expect("the hub answers").into_iter().filter_map(|one| one.decided);
        let deviations: Vec<Deviation> = decided.map(|(_, decided)| decided).collect();
        let state = state(&standards.expect("the hub answers"), &deviations);
        states.push((place.address().to_owned(), state));
    }
    let replica = Replica::reopen(&file).await.expect("the replica opens");
    let standards = replica.standards(at).await.expect("the replica answers");
    let deviations = replica.deviations(at).await.expect("the replica answers");
    replica.close().await;
    states.push(("the kitchen".to_owned(), state(&standards, &deviations)));
    let view = entries(&view.expect("the hub lists the view"));
    let (groups, received) = (group::groups(&site), received.collect());
    let in_force = in_force(&standards).collect();
    (site, history::Kitchen { groups, told, held, view, received, in_force, states })
}

/// All that is said of what is in force or stopped, and of what is made otherwise, as one digest.
fn state(standards: &[Listed], deviations: &[Deviation]) -> Digest {
    digest_of(format!("{standards:?} {deviations:?}").as_bytes())
}

/// The revisions that are in force.
fn in_force(standards: &[Listed]) -> impl Iterator<Item = Digest> {
    standards.iter().filter_map(|one| match &one.state {
        StandardState::InForce(found) => Some(found.revision.digest),
        StandardState::Stopped(_) => None,
    })
}
