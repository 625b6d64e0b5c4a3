//! `chablon`: a group's standard recipes, from the chef's book to every kitchen's scale.

mod arguments;
mod book;
mod clock;
mod commands;
mod confirm;
mod console;
mod credentials;
mod failure;
mod hub;
mod keys;
mod nearest;
mod runtime;
mod signals;
mod source;
mod text;

use std::process::ExitCode;

use clap::Parser;

/// Revisions are read into thousands of small values, by several threads; the system's allocator takes
/// twice as long for them.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

fn main() -> ExitCode {
    let done = commands::Cli::parse().run();
    done.unwrap_or_else(|failure| failure.report()).into()
}
