//! What a hub that is a process of its own spends: processor time on kitchens that begin, memory on
//! watchers.

use std::path::Path;
use std::process::{Child, Command, Stdio};

use chablon_sdk::{Client, Options};
use chablon_wire::pb::feed_service_client::FeedServiceClient;
use tokio::io::AsyncBufReadExt as _;
use tonic::transport::Endpoint;

use crate::fan_out::{WATCHERS, open, opened};
use crate::hubs::{Filled, empty, hub};
use crate::times::Times;

/// Serves a store as a process of its own, until it is killed.
#[expect(clippy::print_stdout, reason = "says where it serves")]
pub(crate) async fn serve(store: &Path) {
    let hub = hub(store.to_owned()).await;
    println!("{}", hub.url());
    std::future::pending::<()>().await;
}

/// A hub's process.
struct Process(Child);

impl Drop for Process {
    fn drop(&mut self) {
        // Already gone is as good.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

pub(crate) async fn measure(filled: &Filled, times: &mut Times) {
    let store = filled.folder.path().join("watched.db");
    let copy = sqlx::query("VACUUM INTO ?1").bind(store.to_str().expect("a path in UTF-8"));
    let mut file = crate::releases::plain(&filled.folder.path().join("hub.db")).await;
    copy.execute(&mut file).await.expect("a copy");
    let program = std::env::current_exe().expect("a benchmark has a program");
    let hub = Command::new(program).arg("hub").arg(&store).stdout(Stdio::piped()).spawn();
    let mut hub = Process(hub.expect("it starts"));
    let stdout = hub.0.stdout.take().expect("standard output is piped");
    let stdout = tokio::process::ChildStdout::from_std(stdout).expect("a pipe");
    let mut lines = tokio::io::BufReader::new(stdout).lines();
    let url = lines.next_line().await.expect("it says where it serves").expect("a line");
    let each = spent_on_beginning(hub.0.id(), &url).await;
    times.note("first synchronisation", "hub", &format!("{each:.0} ms of a processor for each"));
    let before = resident(hub.0.id());
    let watch = || async {
        let endpoint = Endpoint::from_shared(url.clone()).expect("an address");
        let channel = endpoint.connect().await.expect("it serves");
        let mut watch = open(FeedServiceClient::new(channel), Some(head(&url).await)).await;
        watch.message().await.expect("it goes on");
        watch
    };
    let watches = opened(watch).await;
    let each = resident(hub.0.id()).saturating_sub(before) / watches.len();
    times.note("memory a watcher", "hub", &format!("{each} KiB each of {WATCHERS}"));
}

/// How many kitchens begin while the processor's time is taken.
const BEGINNERS: u32 = 20;

/// The milliseconds of one processor that a hub spends on a kitchen which takes everything, after
/// another one did.
async fn spent_on_beginning(hub: u32, url: &str) -> f64 {
    let client = Client::connect([url.to_owned()], Options::default()).expect("an address");
    let begin = async || {
        let folder = tempfile::tempdir().expect("a folder");
        let replica = empty(&folder.path().join("kitchen.db")).await;
        replica.sync(&client).await.expect("it catches up");
        replica.close().await;
    };
    begin().await;
    let before = processor_time(hub);
    for _ in 0..BEGINNERS {
        begin().await;
    }
    f64::from(processor_time(hub) - before) * TICK_MS / f64::from(BEGINNERS)
}

/// What a tick of the processor's time is, of which Linux shows a hundred a second to all programs.
const TICK_MS: f64 = 10.0;

/// The ticks that a process had a processor for, in its own code and in the system's.
fn processor_time(process: u32) -> u32 {
    let stat = std::fs::read_to_string(format!("/proc/{process}/stat")).expect("it lives");
    // The name before may have spaces in it. User and system time are the 14th and 15th in all.
    let (_, after_name) = stat.rsplit_once(')').expect("a name in parentheses");
    let ticks = after_name.split_whitespace().skip(11).take(2);
    ticks.map(|ticks| ticks.parse::<u32>().expect("a number")).sum()
}

async fn head(url: &str) -> chablon_wire::pb::FeedCursor {
    let channel = Endpoint::from_shared(url.to_owned()).expect("an address").connect().await;
    let mut feed = FeedServiceClient::new(channel.expect("it serves"));
    let request = chablon_wire::pb::GetFeedStateRequest { site: crate::hubs::SITE.to_owned() };
    feed.get_feed_state(request).await.expect("it answers").into_inner().head.expect("a head")
}

/// The KiB of memory that a process holds.
fn resident(process: u32) -> usize {
    let status = std::fs::read_to_string(format!("/proc/{process}/status")).expect("it lives");
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).expect("it has memory");
    line.trim().trim_end_matches(" kB").parse().expect("a number")
}
