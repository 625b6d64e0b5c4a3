//! `chablon lot`.

use chablon_model::{IngredientId, LotEvent, LotNote, Moment, SiteId, SupplierId};
use chablon_sdk::lots::LotDraft;
use clap::{Args, Subcommand, ValueEnum};

use crate::arguments::HubArguments;
use crate::clock::{self, parse_moment};
use crate::failure::{Exit, Failure};
use crate::{console, runtime};

/// Note what happens to the lots that suppliers deliver
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Note(Arguments),
}

/// Note that a lot was received or used, or that nothing is left of it
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// What the supplier wrote on it
    lot: String,
    /// What happened
    #[arg(value_enum)]
    event: Event,
    /// Of which ingredient it is
    #[arg(long, value_name = "ID")]
    ingredient: IngredientId,
    /// At which kitchen
    #[arg(long, value_name = "ID")]
    site: SiteId,
    /// Whose it is
    #[arg(long, value_name = "ID")]
    supplier: Option<SupplierId>,
    /// When it happened; now if not given
    #[arg(long, value_name = "MOMENT", value_parser = parse_moment)]
    at: Option<Moment>,
    /// Who signs it
    #[arg(long, value_name = "NAME", env = "CHABLON_AUTHOR", default_value = "the kitchen")]
    author: String,
    #[command(flatten)]
    hub: HubArguments,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
enum Event {
    Received,
    Used,
    Gone,
}

pub(super) fn run(command: &Command) -> Result<Exit, Failure> {
    let Command::Note(arguments) = command;
    let note = note(arguments);
    let told = format!(
        "Noted: lot {} of {} was {} at {} on {}.",
        note.lot,
        note.ingredient,
        note.event.as_str(),
        note.site,
        clock::show(note.at)
    );
    runtime::run(send(&arguments.hub, &LotDraft::new(note)))?;
    console::result(&told)?;
    Ok(Exit::Result)
}

async fn send(hub: &HubArguments, draft: &LotDraft) -> Result<u64, Failure> {
    hub.client()?.note_lot(draft).await.map_err(|error| {
        let unknown = error.outcome_unknown();
        Failure::of(&error, if unknown { "it may be noted or not" } else { "nothing was noted" })
    })
}

fn note(arguments: &Arguments) -> LotNote {
    LotNote {
        site: arguments.site.clone(),
        ingredient: arguments.ingredient.clone(),
        supplier: arguments.supplier.clone(),
        lot: arguments.lot.clone(),
        event: match arguments.event {
            Event::Received => LotEvent::Received,
            Event::Used => LotEvent::Used,
            Event::Gone => LotEvent::Gone,
        },
        at: arguments.at.unwrap_or_else(clock::now),
        author: arguments.author.clone(),
    }
}
