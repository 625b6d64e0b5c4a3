//! Tasks of the project's own, one module a command. `cargo xtask --help` lists them.

mod generate;

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
    /// Generates Rust from `proto/` into `crates/wire/src/pb/`.
    Generate(generate::Arguments),
}

fn main() -> anyhow::Result<()> {
    match Arguments::parse().command {
        Command::Generate(arguments) => generate::run(&arguments),
    }
}
