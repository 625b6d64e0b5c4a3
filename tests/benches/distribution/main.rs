//! How fast standards travel, each beside what it can't beat: bare streams over the same transport,
//! bare commits to the same kind of file, and a general tool that moves files.
//!
//! `cargo bench -p chablon-tests --bench distribution -- FOLDER` takes all times, in turn, and writes
//! them to `distribution.csv` in that folder; after the folder one job may be named (`first`, `reads`,
//! `fan-out`, `watchers`, `releases`, `changes`). `cargo xtask bench` does all and prints the table.

// The generator of books is shared with the benchmark of the figures.
#[path = "../../../crates/arith/tests/kitchen/generate.rs"]
#[expect(dead_code, reason = "prices are of no concern here")]
mod generate;

mod book;
mod changes;
mod fan_out;
mod first;
mod git;
mod hubs;
mod raw;
mod reads;
mod releases;
mod times;
mod watchers;

use std::path::{Path, PathBuf};

use crate::times::Times;

/// As in `chablon` itself. What it is compared with has it, too.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() {
    // Cargo adds an option of its own.
    let arguments = std::env::args().skip(1).filter(|argument| !argument.starts_with('-'));
    let arguments: Vec<String> = arguments.collect();
    let runtime = tokio::runtime::Runtime::new().expect("a runtime");
    match arguments.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["hub", store] => runtime.block_on(watchers::serve(Path::new(store))),
        [folder, ref job @ ..] => {
            let times = runtime.block_on(measure(job.first().copied()));
            times
                .write(&PathBuf::from(folder).join("distribution.csv"))
                .expect("a file is written");
        }
        [] => panic!("say into which folder the times go"),
    }
}

/// Measures one job, or all of them in turn.
async fn measure(job: Option<&str>) -> Times {
    let mut times = Times::default();
    let wanted = |name: &str| job.is_none_or(|job| job == name);
    if wanted("releases") {
        releases::measure(&mut times).await;
    }
    if wanted("fan-out") {
        fan_out::measure(&mut times).await;
    }
    if ["first", "reads", "watchers", "changes"].into_iter().any(wanted) {
        of_whole_books(wanted, &mut times).await;
    }
    times
}

/// Measures what is done with books as large as a group's, which take a while to release.
async fn of_whole_books(wanted: impl Fn(&str) -> bool, times: &mut Times) {
    let small = hubs::Filled::with(5_000).await;
    if wanted("first") {
        first::measure(&small, times).await;
    }
    if wanted("reads") {
        reads::measure(&small, times).await;
    }
    if wanted("watchers") {
        watchers::measure(&small, times).await;
    }
    if wanted("changes") {
        let large = hubs::Filled::with(50_000).await;
        changes::measure(small, large, times).await;
    }
}
