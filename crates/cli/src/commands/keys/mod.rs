//! `chablon keys`.

mod new;
mod publish;
mod roles;
mod root;
mod show;
mod sign;

use clap::Subcommand;

use crate::failure::{Exit, Failure};

/// Make and use the keys by which a group signs, on the machines of those who hold them
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    New(new::Arguments),
    Show(show::Arguments),
    Root(root::First),
    Rotate(root::Next),
    Sign(sign::Arguments),
    Publish(publish::Arguments),
    SignFeed(publish::FeedArguments),
}

pub(super) fn run(command: &Command) -> Result<Exit, Failure> {
    match command {
        Command::New(arguments) => new::run(arguments),
        Command::Show(arguments) => show::run(arguments),
        Command::Root(arguments) => root::first(arguments),
        Command::Rotate(arguments) => root::next(arguments),
        Command::Sign(arguments) => sign::run(arguments),
        Command::Publish(arguments) => publish::run(arguments),
        Command::SignFeed(arguments) => publish::sign_feed(arguments),
    }
}
