//! Tasks of the project's own, one module a command. `cargo xtask --help` lists them.

mod bench;
mod generate;
mod lint;
mod python;
mod schema;
mod shell;
mod test;
mod tidy;

use clap::{Parser, Subcommand};

/// Tasks of the project's own.
#[derive(Parser)]
#[command(name = "cargo xtask", bin_name = "cargo xtask")]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// What the figures and the way to the kitchens take, beside what they are compared with.
    Bench(bench::Arguments),
    /// Generates Rust from `proto/` into `crates/wire/src/pb/`.
    Generate(generate::Arguments),
    /// Every check that runs none of the project's code: format, lints, docs, generated code, licences.
    Lint,
    /// All tests, with Python and its packages made ready first.
    Test(test::Arguments),
}

fn main() -> anyhow::Result<()> {
    match Arguments::parse().command {
        Command::Bench(arguments) => bench::run_all(&arguments),
        Command::Generate(arguments) => generate::run(&arguments),
        Command::Lint => lint::all(),
        Command::Test(arguments) => test::all(&arguments),
    }
}
