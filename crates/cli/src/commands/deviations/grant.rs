//! `chablon deviations grant`.

use std::collections::BTreeSet;

use chablon_model::{
    Allergen, Decision, Deviation, DeviationId, DeviationLimits, Grant, Moment, View,
};
use chablon_quantity::{Authored, ShareUnit};
use chablon_sdk::change::{Assessment, Conflict, ThreeWay, Verdict, assess};
use chablon_sdk::deviations::{SiteStandards, Submitted};
use chablon_sdk::{Client, Recorded};
use clap::Args;

use super::ask::shown;
use super::{decide, in_force};
use crate::arguments::{HubArguments, SendArguments};
use crate::clock::{self, parse_moment};
use crate::confirm::agreed;
use crate::failure::{Exit, Failure};
use crate::keys::SigningArguments;
use crate::{console, text};

/// Let a kitchen make a standard otherwise
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    hub: HubArguments,
    /// Which deviation
    #[arg(value_name = "ID")]
    id: DeviationId,
    #[command(flatten)]
    terms: Terms,
    #[command(flatten)]
    send: SendArguments,
    #[command(flatten)]
    signing: SigningArguments,
}

/// On what terms it is granted.
#[derive(Debug, Default, Args)]
pub(crate) struct Terms {
    /// The moment at which it falls away; as it was asked for if not given
    #[arg(long, value_name = "MOMENT", value_parser = parse_moment)]
    until: Option<Moment>,
    /// The most that each departing line may be of the batch
    #[arg(long, value_name = "SHARE", value_parser = parse_share)]
    max_share: Option<Authored<ShareUnit>>,
    /// How far the departing lines may be off when weighed
    #[arg(long, value_name = "SHARE", value_parser = parse_share)]
    tolerance: Option<Authored<ShareUnit>>,
    /// An allergen that comes with it, granted with open eyes; a group stands for its kinds
    #[arg(long = "allergen", value_name = "CODE")]
    allergens: Vec<Allergen>,
    /// That a critical limit moves, granted with open eyes
    #[arg(long)]
    critical_limits: bool,
    /// What the kitchen must know
    #[arg(long, value_name = "TEXT")]
    note: Option<String>,
    /// Who grants it, as the kitchen reads it
    #[arg(long, value_name = "NAME", env = "CHABLON_AUTHOR", default_value = "group pastry chef")]
    author: String,
}

fn parse_share(text: &str) -> Result<Authored<ShareUnit>, String> {
    text.parse().map_err(|_| format!("`{text}` is not a share; write it like `5 %`"))
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let client = arguments.hub.client()?;
    let keys = arguments.signing.keys()?;
    let submitted = decide::find(&client, &arguments.id).await?;
    let (deviation, assessment) = prepare(&client, &submitted, &arguments.terms).await?;
    console::result(&shown(&deviation, &assessment))?;
    if agreed(&arguments.send, "Grant it?")? {
        let recorded = decide::send(&client, &submitted, deviation.clone(), &keys).await?;
        console::result(&told(&recorded, &deviation))?;
    }
    Ok(Exit::Result)
}

/// Grants a deviation as it was asked for, on its own terms.
pub(in crate::commands) async fn granted(
    client: &Client,
    id: &DeviationId,
    author: &str,
) -> Result<String, Failure> {
    let submitted = decide::find(client, id).await?;
    let terms = Terms { author: author.to_owned(), ..Terms::default() };
    let (deviation, _) = prepare(client, &submitted, &terms).await?;
    let recorded = decide::send(client, &submitted, deviation.clone(), &[]).await?;
    Ok(told(&recorded, &deviation))
}

async fn prepare(
    client: &Client,
    submitted: &Submitted,
    terms: &Terms,
) -> Result<(Deviation, Assessment), Failure> {
    let standards = in_force(client, &submitted.asked.site).await?;
    let fitted = fitted(client, submitted.latest(), &standards).await?;
    let deviation = on_terms(fitted, terms);
    let assessment = assess(&deviation, &standards.edition(), clock::today());
    let assessment = assessment.map_err(|why| refused(&deviation.id, &why))?;
    check(&deviation, &assessment)?;
    Ok((deviation, assessment))
}

/// The deviation over the standard that is in force: put again where that is another than it was
/// asked for.
async fn fitted(
    client: &Client,
    deviation: &Deviation,
    standards: &SiteStandards,
) -> Result<Deviation, Failure> {
    let now = standards.revision(&deviation.recipe());
    if now == Some(&deviation.based_on) {
        return Ok(deviation.clone());
    }
    let (site, recipe) = (&deviation.site, deviation.recipe());
    let now = now.ok_or_else(|| {
        Failure::refused(format!("no standard of `{recipe}` is in force at `{site}` any more"))
    })?;
    let base = client.revision(&View::Whole, deviation.based_on.digest).await;
    let base = base.and_then(|base| base.read());
    let base = base.map_err(|error| Failure::of(&error, "nothing was decided"))?;
    let put = standards.put_again(deviation, &base.content, clock::today());
    let put = put.map_err(|why| refused(&deviation.id, &why))?;
    let Some(put) = put else { return Ok(deviation.clone()) };
    console::result(&text::three_way(deviation, now, &put, console::width()))?;
    rebased(deviation, &put, standards)
}

fn rebased(
    deviation: &Deviation,
    put: &ThreeWay,
    standards: &SiteStandards,
) -> Result<Deviation, Failure> {
    let id = &deviation.id;
    let now = standards.revision(&deviation.recipe());
    match (put.verdict(), now) {
        (Verdict::Applies, Some(now)) => Ok(put.rebased(deviation, now)),
        (Verdict::Moot, _) => Err(Failure::refused(format!(
            "the standard says now what deviation `{id}` asks for, so nothing is left to grant"
        ))),
        _ => {
            let why: Vec<String> = put.conflicts().map(Conflict::to_string).collect();
            let why = why.join("; ");
            Err(Failure::refused(format!("deviation `{id}` doesn't fit the new standard: {why}"))
                .hint("let the kitchen ask anew, or refuse it"))
        }
    }
}

fn on_terms(deviation: Deviation, terms: &Terms) -> Deviation {
    let DeviationLimits { max_share, tolerance } = deviation.limits;
    let limits = DeviationLimits {
        max_share: terms.max_share.or(max_share),
        tolerance: terms.tolerance.or(tolerance),
    };
    let before = deviation.decision.granted();
    let allergens: BTreeSet<Allergen> = terms.allergens.iter().cloned().collect();
    let grant = Grant {
        by: terms.author.clone(),
        at: clock::now(),
        note: terms.note.clone().or_else(|| before.and_then(|grant| grant.note.clone())),
        allergens,
        critical_limits: terms.critical_limits,
    };
    let until = terms.until.unwrap_or(deviation.until);
    Deviation { limits, until, decision: Decision::Granted(grant), ..deviation }
}

/// Refuses what may not be made under its own grant, before the hub does.
fn check(deviation: &Deviation, assessment: &Assessment) -> Result<(), Failure> {
    let id = &deviation.id;
    if deviation.until <= deviation.from {
        return Err(Failure::refused(format!("deviation `{id}` falls away before it holds"))
            .hint("give a later moment with --until"));
    }
    let Some(grant) = deviation.decision.granted() else { return Ok(()) };
    let objections = assessment.objections(grant);
    if objections.is_empty() {
        return Ok(());
    }
    let told: Vec<String> = objections.iter().map(ToString::to_string).collect();
    Err(Failure::refused(format!("deviation `{id}` can't be granted so: {}", told.join("; ")))
        .after(shown(deviation, assessment))
        .hint("name each allergen with --allergen CODE, and moved limits with --critical-limits; or refuse it"))
}

fn refused(id: &DeviationId, why: &impl std::fmt::Display) -> Failure {
    Failure::refused(format!("deviation `{id}` can't be made: {why}"))
}

fn told(recorded: &Recorded, deviation: &Deviation) -> String {
    format!(
        "Granted to {} until {} (feed position {}).",
        deviation.site,
        clock::show(deviation.until),
        recorded.last_position
    )
}
