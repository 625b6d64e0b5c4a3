//! Times of jobs that are taken in turn, so that whatever else the machine does meets all.

use std::fs::File;
use std::hint::black_box;
use std::io::{self, Write as _};
use std::path::Path;
use std::time::Instant;

use crate::cases::{one_price, sixty_leaves, whole_book};
use crate::piece::GroupBook;

/// How often each job's time is taken.
const ROUNDS: usize = 101;

/// A way to do a job.
struct Contender<'a> {
    who: &'static str,
    job: Box<dyn FnMut() + 'a>,
}

fn contender<'a, T>(who: &'static str, mut job: impl FnMut() -> T + 'a) -> Contender<'a> {
    Contender { who, job: Box::new(move || drop(black_box(job()))) }
}

/// Writes the median and the fastest of each to `measured.csv`.
pub(crate) fn write(folder: &Path) -> io::Result<()> {
    let book = GroupBook::get();
    let mut file = File::create(folder.join("measured.csv"))?;
    writeln!(file, "job;who;how;median;fastest")?;
    let mut put = |job: &str, at_once, contenders| {
        times(at_once, contenders).into_iter().try_for_each(|(who, times)| {
            writeln!(file, "{job};{who};;{:e};{:e}", times[ROUNDS / 2], times[0])
        })
    };
    put(
        "sixty leaves",
        200,
        vec![
            contender("exactly rounded", sixty_leaves::exactly_rounded()),
            contender("flat", sixty_leaves::flat()),
            contender("rounded flat", sixty_leaves::flat_rounded()),
        ],
    )?;
    put(
        "whole book",
        1,
        vec![
            contender("exactly rounded", whole_book::exactly_rounded(book)),
            contender("flat", whole_book::flat(book)),
        ],
    )?;
    put(
        "one price",
        20,
        vec![
            contender("exactly rounded", one_price::exactly_rounded(book)),
            contender("flat", one_price::flat(book)),
        ],
    )
}

/// The seconds that each takes, the fastest first; so many runs are timed at once.
fn times(at_once: u32, mut contenders: Vec<Contender<'_>>) -> Vec<(&'static str, Vec<f64>)> {
    let mut times = vec![Vec::with_capacity(ROUNDS); contenders.len()];
    for _ in 0..ROUNDS {
        for (contender, times) in contenders.iter_mut().zip(&mut times) {
            // Those before it have taken the caches.
            for _ in 0..at_once {
                (contender.job)();
            }
            let start = Instant::now();
            for _ in 0..at_once {
                (contender.job)();
            }
            times.push(start.elapsed().as_secs_f64() / f64::from(at_once));
        }
    }
    for times in &mut times {
        times.sort_by(f64::total_cmp);
    }
    contenders.iter().map(|one| one.who).zip(times).collect()
}
