//! What the figures and the way to the kitchens take, beside what they are compared with.
//!
//! Figures: the Rust side takes its times and writes the book as tables; the databases load those,
//! show that they come to the same figures, and take theirs. `crates/arith/docs/speed.md` describes
//! what is measured. Distribution: `crates/server/docs/scale.md`.

use std::fs;
use std::path::Path;
use std::process::Command;

use anyhow::{Context, bail, ensure};
use comfy_table::{CellAlignment, Table, presets};

use crate::python;
use crate::shell::{cargo, root, run};

/// What a job took somebody.
#[derive(Clone, Debug)]
struct Time {
    job: String,
    who: String,
    how: String,
    /// Seconds.
    median: f64,
    fastest: f64,
}

/// By how much the exact figures may be slower, or must be faster.
#[derive(Clone, Copy)]
enum Limit {
    AtMost(f64),
    Faster(f64),
    /// Shown for comparison.
    None,
}

/// A row of the table beside that of the exact figures.
struct Rival {
    /// How the name begins: the best of those is taken.
    who: &'static str,
    limit: Limit,
}

const fn rival(who: &'static str, limit: Limit) -> Rival {
    Rival { who, limit }
}

/// Something that is done, and who is compared with whom.
struct Job {
    name: &'static str,
    ours: &'static str,
    rivals: &'static [Rival],
}

const fn job(name: &'static str, ours: &'static str, rivals: &'static [Rival]) -> Job {
    Job { name, ours, rivals }
}

/// Of the databases the best counts, so that each of them must be outrun by as much.
const FIGURES: [Job; 3] = [
    job(
        "sixty leaves",
        "exactly rounded",
        &[rival("flat", Limit::AtMost(1.5)), rival("rounded flat", Limit::AtMost(1.5))],
    ),
    job(
        "whole book",
        "exactly rounded",
        &[
            rival("flat", Limit::AtMost(3.0)),
            rival("DuckDB", Limit::Faster(10.0)),
            rival("SQLite", Limit::None),
            rival("PostgreSQL", Limit::None),
        ],
    ),
    job(
        "one price",
        "exactly rounded",
        &[
            rival("flat", Limit::AtMost(3.0)),
            rival("SQLite", Limit::Faster(10.0)),
            rival("PostgreSQL", Limit::Faster(10.0)),
            rival("DuckDB", Limit::Faster(10.0)),
        ],
    ),
];

const DISTRIBUTION: [Job; 6] = [
    job(
        "first synchronisation",
        "kitchen",
        &[
            rival("bare stream by message", Limit::AtMost(1.5)),
            rival("bare stream by row", Limit::None),
            rival("git clone", Limit::None),
        ],
    ),
    job("cached read", "hub", &[rival("bare answer", Limit::AtMost(1.43))]),
    job("fan-out", "hub", &[rival("bare stream", Limit::AtMost(1.3))]),
    job(
        "one change",
        "kitchen of 50,000",
        &[
            rival("kitchen of 5,000", Limit::AtMost(1.2)),
            rival("git pull of 50,000", Limit::None),
            rival("git pull of 5,000", Limit::None),
        ],
    ),
    job("durable release", "hub", &[rival("bare commit", Limit::None)]),
    // The limit is of releases a second, of which there are to be half as many as bare commits.
    job("durable releases at once", "hub", &[rival("bare commit", Limit::AtMost(2.0))]),
];

/// What is measured.
#[derive(clap::Args)]
pub(crate) struct Arguments {
    /// Which; both where it isn't said.
    what: Option<What>,
    /// One part of the distribution alone: first, reads, fan-out, watchers, releases or changes.
    #[arg(requires = "what")]
    part: Option<String>,
}

#[derive(Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum What {
    /// The arithmetic, beside flat float passes and databases.
    Figures,
    /// The way to the kitchens, beside bare streams, bare commits and git.
    Distribution,
}

/// Measures and prints the tables. Being slow is no failure: machines are noisy.
#[expect(clippy::print_stdout, reason = "the tables are what it is for")]
pub(crate) fn run_all(arguments: &Arguments) -> anyhow::Result<()> {
    let wanted = |what| arguments.what.is_none_or(|wanted| wanted == what);
    let has_parts = arguments.what != Some(What::Figures);
    ensure!(has_parts || arguments.part.is_none(), "the figures have no parts");
    if wanted(What::Figures) {
        println!("{}", table(&FIGURES.each_ref(), &figures()?)?);
    }
    if wanted(What::Distribution) {
        let times = distribution(arguments.part.as_deref())?;
        println!(
            "{}",
            table(&measured(&DISTRIBUTION, &times, arguments.part.as_deref())?, &times)?
        );
    }
    Ok(())
}

fn figures() -> anyhow::Result<Vec<Time>> {
    let folder = root().join("target/bench/book");
    let ours = ["bench", "--package", "chablon-arith", "--bench", "figures", "--locked", "--"];
    run(cargo(&ours).arg("beside").arg(&folder))?;
    let python = python::with("tests/bench/requirements.txt", "target/bench/python")?;
    let peers = ["-m", "peers"];
    let home = root().join("tests/bench");
    run(Command::new(python).args(peers).arg(&folder).current_dir(home))?;
    let mut times = read(&folder.join("measured.csv"))?;
    times.extend(read(&folder.join("peers.csv"))?);
    Ok(times)
}

/// The jobs of a part, or all of them.
fn measured<'j>(
    jobs: &'j [Job],
    times: &[Time],
    part: Option<&str>,
) -> anyhow::Result<Vec<&'j Job>> {
    let Some(part) = part else { return Ok(jobs.iter().collect()) };
    ensure!(!times.is_empty(), "there is no part `{part}`");
    // What is only noted of a job has no time, and stands beneath the table.
    let has_time = |job: &&Job| times.iter().any(|time| time.job == job.name && time.median > 0.0);
    Ok(jobs.iter().filter(has_time).collect())
}

fn distribution(part: Option<&str>) -> anyhow::Result<Vec<Time>> {
    let folder = root().join("target/bench");
    let ours = ["bench", "--package", "chablon-tests", "--bench", "distribution", "--locked", "--"];
    run(cargo(&ours).arg(&folder).args(part))?;
    read(&folder.join("distribution.csv"))
}

fn read(path: &Path) -> anyhow::Result<Vec<Time>> {
    let text = fs::read_to_string(path).with_context(|| path.display().to_string())?;
    text.lines().skip(1).map(parse).collect()
}

fn parse(line: &str) -> anyhow::Result<Time> {
    let Ok([job, who, how, median, fastest]) =
        <[&str; 5]>::try_from(line.split(';').collect::<Vec<_>>())
    else {
        bail!("`{line}` is not a job, who does it, how, and two times")
    };
    let owned = |text: &str| text.to_owned();
    let (median, fastest) = (median.parse()?, fastest.parse()?);
    Ok(Time { job: owned(job), who: owned(who), how: owned(how), median, fastest })
}

fn table(jobs: &[&Job], times: &[Time]) -> anyhow::Result<Table> {
    let mut table = Table::new();
    table.load_style(presets::ASCII_MARKDOWN);
    table.set_header(["job", "who", "median", "fastest", "ratio", "of fastest", "limit", ""]);
    for column in table.column_iter_mut().skip(2).take(5) {
        column.set_cell_alignment(CellAlignment::Right);
    }
    for Job { name, ours, rivals } in jobs {
        let ours = best(times, name, ours)?;
        table.add_row([*name, &named(ours), &shown(ours.median), &shown(ours.fastest)]);
        for rival in *rivals {
            table.add_row(row(ours, best(times, name, rival.who)?, rival.limit));
        }
    }
    for Time { job, who, how, .. } in times.iter().filter(|time| time.median == 0.0) {
        table.add_row([job, &format!("{who}: {how}")]);
    }
    Ok(table)
}

/// The fastest of those whose name begins so, by the median. What is only noted has no time.
fn best<'a>(times: &'a [Time], job: &str, who: &str) -> anyhow::Result<&'a Time> {
    let measured = times.iter().filter(|time| time.median > 0.0);
    let named = measured.filter(|time| time.job == job && time.who.starts_with(who));
    let best = named.min_by(|a, b| a.median.total_cmp(&b.median));
    best.with_context(|| format!("{job}: nothing was measured of {who}"))
}

fn row(ours: &Time, other: &Time, limit: Limit) -> [String; 8] {
    let ratio = |ours: f64, other: f64| match limit {
        Limit::AtMost(_) => ours / other,
        Limit::Faster(_) | Limit::None => other / ours,
    };
    let (ratio, of_fastest) =
        (ratio(ours.median, other.median), ratio(ours.fastest, other.fastest));
    let (most, holds) = match limit {
        Limit::AtMost(most) => (format!("at most {most} x its time"), Some(ratio <= most)),
        Limit::Faster(least) => (format!("at least {least} x faster"), Some(ratio >= least)),
        Limit::None => (String::new(), None),
    };
    let holds = holds.map_or("", |holds| if holds { "holds" } else { "does not hold" });
    let times = |ratio: f64| format!("{ratio:.*}", if ratio < 100.0 { 2 } else { 0 });
    let (median, fastest) = (shown(other.median), shown(other.fastest));
    let job = String::new();
    [job, named(other), median, fastest, times(ratio), times(of_fastest), most, holds.to_owned()]
}

/// Who, and how.
fn named(time: &Time) -> String {
    let who = [time.who.as_str(), time.how.as_str()].join(": ");
    who.trim_end_matches(": ").to_owned()
}

/// Seconds in a unit that suits them.
fn shown(seconds: f64) -> String {
    if seconds < 1e-3 {
        format!("{:.2} us", seconds * 1e6)
    } else {
        format!("{:.2} ms", seconds * 1e3)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn time(who: &str, median: f64) -> Time {
        parse(&format!("one price;{who};one query, a step a level;{median:e};{median:e}")).unwrap()
    }

    #[test]
    fn the_best_of_a_database_counts() {
        let times = [time("DuckDB, 1 thread", 2e-3), time("DuckDB, 2 threads", 1e-3)];
        assert_eq!(best(&times, "one price", "DuckDB").unwrap().who, "DuckDB, 2 threads");
        assert!(best(&times, "whole book", "DuckDB").is_err());
        let with_a_note = [time("DuckDB", 0.0), time("DuckDB, 1 thread", 2e-3)];
        assert_eq!(best(&with_a_note, "one price", "DuckDB").unwrap().who, "DuckDB, 1 thread");
        assert!(parse("one price;DuckDB;1").is_err());
    }

    #[test]
    fn a_limit_is_met_or_not() {
        let ours = time("exactly rounded", 2e-5);
        let holds = |other, limit| row(&ours, &time("flat", other), limit)[7].clone();
        assert_eq!(holds(1e-5, Limit::AtMost(3.0)), "holds");
        assert_eq!(holds(1e-5, Limit::AtMost(1.5)), "does not hold");
        assert_eq!(holds(3e-4, Limit::Faster(10.0)), "holds");
        assert_eq!(holds(1e-4, Limit::Faster(10.0)), "does not hold");
        assert_eq!(holds(1e-4, Limit::None), "");
    }
}
