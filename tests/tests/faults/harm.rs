//! What goes wrong, and how often.

use std::sync::Arc;
use std::time::Duration;

use chablon_testkit::Proxy;
use chablon_testkit::postgres::Cluster;
use rand::RngExt as _;
use rand::rngs::StdRng;
use tokio::task::spawn_blocking;

use crate::hubs::Place;
use crate::kitchens::Kitchen;

/// How many faults of each kind there are.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Budget {
    pub(crate) each_way: u32,
    pub(crate) kitchens: u32,
    pub(crate) hubs: u32,
    pub(crate) database: u32,
}

impl Budget {
    /// Shares out so many faults over some ways and the rest.
    pub(crate) fn of(faults: u32, ways: u32) -> Self {
        let (database, hubs, kitchens) = (faults / 50, faults / 10, faults / 4);
        let each_way = (faults - database - hubs - kitchens).div_ceil(ways);
        Self { each_way, kitchens, hubs, database }
    }
}

/// The pause before the next fault, on the average: so that all kinds end at about the same time.
const PAUSE_OF_A_WAY: Duration = Duration::from_millis(500);
const PAUSE_OF_KITCHENS: Duration = Duration::from_secs(1);
const PAUSE_OF_HUBS: Duration = Duration::from_millis(2200);
const PAUSE_OF_THE_DATABASE: Duration = Duration::from_secs(10);

/// The longest that a way stays broken.
const BROKEN: Duration = Duration::from_millis(1500);
/// The longest that a hub stays away.
const AWAY: Duration = Duration::from_secs(1);
/// The longest rest of a slow way after each kibibyte.
const SLOW: Duration = Duration::from_millis(60);

fn within(random: &mut StdRng, longest: Duration) -> Duration {
    longest.mul_f64(random.random())
}

/// A pause that is sometimes none and sometimes twice the usual.
async fn pause(random: &mut StdRng, usual: Duration) {
    tokio::time::sleep(within(random, 2 * usual)).await;
}

/// Breaks a way again and again, each time in another manner.
pub(crate) async fn to_way(proxy: Arc<Proxy>, faults: u32, mut random: StdRng) {
    for _ in 0..faults {
        pause(&mut random, PAUSE_OF_A_WAY).await;
        match random.random_range(0..20) {
            0 => proxy.half_open(),
            1..=7 => proxy.cut(),
            8..=13 => proxy.stall(),
            _ => proxy.slow(within(&mut random, SLOW)),
        }
        tokio::time::sleep(within(&mut random, BROKEN)).await;
        proxy.mend();
    }
}

/// Kills one kitchen after the other.
pub(crate) async fn to_kitchens(
    mut kitchens: Vec<Kitchen>,
    faults: u32,
    mut random: StdRng,
) -> Vec<Kitchen> {
    for _ in 0..faults {
        pause(&mut random, PAUSE_OF_KITCHENS).await;
        let victim = random.random_range(0..kitchens.len());
        kitchens[victim].die_and_rise().await;
    }
    kitchens
}

/// Kills one hub after the other.
pub(crate) async fn to_hubs(mut hubs: Vec<Place>, faults: u32, mut random: StdRng) -> Vec<Place> {
    for _ in 0..faults {
        pause(&mut random, PAUSE_OF_HUBS).await;
        let victim = random.random_range(0..hubs.len());
        let away = within(&mut random, AWAY);
        hubs[victim].die_and_rise(away).await;
    }
    hubs
}

/// Kills the database server.
pub(crate) async fn to_database(cluster: Arc<Cluster>, faults: u32, mut random: StdRng) {
    for _ in 0..faults {
        pause(&mut random, PAUSE_OF_THE_DATABASE).await;
        let cluster = Arc::clone(&cluster);
        let killed = spawn_blocking(move || {
            cluster.kill();
            cluster.start_again();
        });
        killed.await.expect("the server starts again");
    }
}
