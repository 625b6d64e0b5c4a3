//! `chablon deviations ask`.

use std::path::{Path, PathBuf};

use chablon_book::{AuthoredDeviation, Files, RenderOptions, read_deviation};
use chablon_model::{Decision, Deviation};
use chablon_sdk::Client;
use chablon_sdk::change::{Assessment, assess};
use chablon_sdk::deviations::SiteStandards;
use clap::Args;

use super::{beginning, in_force};
use crate::arguments::{HubArguments, SendArguments};
use crate::confirm::agreed;
use crate::failure::{Exit, Failure};
use crate::{clock, console, text};

/// Ask to make a standard otherwise, with what that changes
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    hub: HubArguments,
    /// What is asked, written down in a file
    #[arg(value_name = "FILE")]
    file: PathBuf,
    #[command(flatten)]
    send: SendArguments,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let client = arguments.hub.client()?;
    let authored = read(&arguments.file)?;
    let (deviation, assessment) = prepare(&client, authored).await?;
    console::result(&shown(&deviation, &assessment))?;
    if agreed(&arguments.send, "Ask for it?")? {
        send(&client, &deviation).await?;
        console::result(&told(&deviation))?;
    }
    Ok(Exit::Result)
}

/// What a file asks for.
pub(in crate::commands) fn read(file: &Path) -> Result<AuthoredDeviation, Failure> {
    let path = file.display();
    let bytes = std::fs::read(file).map_err(|error| {
        Failure::refused(format!("`{path}` can't be read ({error}), so nothing is asked"))
    })?;
    let files = Files::from_bytes([(path.to_string(), bytes)]);
    let (read, findings) = read_deviation(&files);
    let options = RenderOptions {
        colour: console::colours_notes(),
        width: console::width(),
        ..RenderOptions::default()
    };
    let rendered = chablon_book::render(&findings, &files, options);
    read.ok_or_else(|| {
        Failure::refused(format!("`{path}` isn't a deviation as it stands, so nothing is asked"))
            .after(rendered)
            .hint("correct what is shown above, and try again")
    })
}

/// The deviation over the standard that is in force, and what it means.
pub(in crate::commands) async fn prepare(
    client: &Client,
    authored: AuthoredDeviation,
) -> Result<(Deviation, Assessment), Failure> {
    let standards = in_force(client, &authored.site).await?;
    let deviation = over(authored, &standards)?;
    let assessment = assess(&deviation, &standards.edition(), clock::today());
    let assessment = assessment.map_err(|why| {
        Failure::refused(format!("deviation `{}` can't be made: {why}", deviation.id))
    })?;
    Ok((deviation, assessment))
}

fn over(authored: AuthoredDeviation, standards: &SiteStandards) -> Result<Deviation, Failure> {
    let AuthoredDeviation { id, site, recipe, from, until, reason, limits, departures } = authored;
    let based_on = standards.revision(&recipe).cloned().ok_or_else(|| {
        Failure::refused(format!("no standard of `{recipe}` is in force at `{site}`"))
            .hint("correct the recipe's id; `chablon standards` lists what is in force")
    })?;
    let from = from.map(beginning).transpose()?.unwrap_or_else(clock::now);
    let (until, decision) = (beginning(until)?, Decision::Asked);
    if until <= from {
        return Err(Failure::refused("the deviation falls away before it holds")
            .hint("give `until` a later day"));
    }
    Ok(Deviation { id, site, based_on, departures, limits, from, until, reason, decision })
}

/// Sends what is asked.
pub(in crate::commands) async fn send(
    client: &Client,
    deviation: &Deviation,
) -> Result<(), Failure> {
    client.ask_deviation(deviation).await.map_err(|error| {
        let so = if error.outcome_unknown() {
            "it may have been asked or not; ask the same again"
        } else {
            "nothing was asked"
        };
        Failure::of(&error, so)
    })
}

/// What is asked, and what it means.
pub(in crate::commands) fn shown(deviation: &Deviation, assessment: &Assessment) -> String {
    let Deviation { id, site, based_on, from, until, .. } = deviation;
    let (recipe, number) = (&based_on.key.id, based_on.number);
    let (from, until) = (clock::show(*from), clock::show(*until));
    let departures = deviation.departures.iter().map(chablon_sdk::change::departure_words);
    let head = format!(
        "{id}: {site} departs from {recipe}, revision {number}, from {from} until {until}\n  {}",
        departures.collect::<Vec<_>>().join("\n  ")
    );
    format!("{head}\n{}", text::comparison(&assessment.comparison, console::width()))
}

pub(in crate::commands) fn told(deviation: &Deviation) -> String {
    format!("Asked: {}. It is made so once it is granted.", deviation.id)
}
