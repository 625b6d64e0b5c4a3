//! The commands, one file each.

mod access;
mod allergens;
mod audit;
mod balance;
mod check;
mod compare;
mod cost;
mod declare;
mod demo;
mod deviations;
mod drafts;
mod export;
mod hub;
mod join;
mod keys;
mod kitchen;
mod lot;
mod propose;
mod reckon;
mod release;
mod review;
mod scale;
mod shock;
mod standards;
mod where_used;
mod withdraw;

use clap::{Parser, Subcommand};

use crate::failure::{Exit, Failure};

/// A group's standard recipes, from the chef's book to every kitchen's scale.
#[derive(Debug, Parser)]
#[command(name = "chablon", version, max_term_width = 100)]
pub(crate) struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Demo(demo::Arguments),
    Check(check::Arguments),
    Scale(scale::Arguments),
    Cost(cost::Arguments),
    Shock(shock::Arguments),
    Reckon(reckon::Arguments),
    Declare(declare::Arguments),
    Balance(balance::Arguments),
    Allergens(allergens::Arguments),
    Compare(compare::Arguments),
    Propose(propose::Arguments),
    Drafts(drafts::Arguments),
    Review(review::Arguments),
    Release(release::Arguments),
    Withdraw(withdraw::Arguments),
    Standards(standards::Arguments),
    WhereUsed(where_used::Arguments),
    #[command(subcommand)]
    Lot(lot::Command),
    #[command(subcommand)]
    Deviations(deviations::Command),
    Audit(audit::Arguments),
    Export(export::Arguments),
    #[command(subcommand)]
    Kitchen(kitchen::Command),
    Join(join::Arguments),
    #[command(subcommand)]
    Access(access::Command),
    #[command(subcommand)]
    Hub(hub::Command),
    #[command(subcommand)]
    Keys(keys::Command),
}

impl Cli {
    /// Does what was asked.
    pub(crate) fn run(self) -> Result<Exit, Failure> {
        match self.command {
            Command::Demo(arguments) => demo::run(&arguments),
            Command::Check(arguments) => check::run(&arguments),
            Command::Scale(arguments) => scale::run(&arguments),
            Command::Cost(arguments) => cost::run(&arguments),
            Command::Shock(arguments) => shock::run(&arguments),
            Command::Reckon(arguments) => reckon::run(&arguments),
            Command::Declare(arguments) => declare::run(&arguments),
            Command::Balance(arguments) => balance::run(&arguments),
            Command::Allergens(arguments) => allergens::run(&arguments),
            Command::Compare(arguments) => compare::run(&arguments),
            Command::Propose(arguments) => propose::run(&arguments),
            Command::Drafts(arguments) => drafts::run(&arguments),
            Command::Review(arguments) => review::run(&arguments),
            Command::Release(arguments) => release::run(&arguments),
            Command::Withdraw(arguments) => withdraw::run(&arguments),
            Command::Standards(arguments) => standards::run(&arguments),
            Command::WhereUsed(arguments) => where_used::run(&arguments),
            Command::Lot(command) => lot::run(&command),
            Command::Deviations(command) => deviations::run(&command),
            Command::Audit(arguments) => audit::run(&arguments),
            Command::Export(arguments) => export::run(&arguments),
            Command::Kitchen(command) => kitchen::run(&command),
            Command::Join(arguments) => join::run(&arguments),
            Command::Access(command) => access::run(&command),
            Command::Hub(command) => hub::run(&command),
            Command::Keys(command) => keys::run(&command),
        }
    }
}
