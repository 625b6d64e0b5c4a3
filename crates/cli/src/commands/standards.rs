//! `chablon standards`.

use std::path::{Path, PathBuf};

use chablon_model::{DocumentKey, DocumentKind, Moment, RecipeId, Site, SiteId};
use chablon_sdk::deviations::ByLeave;
use chablon_sdk::{Client, Replica};
use clap::{Args, ValueEnum};

use crate::arguments::{Format, LineArguments};
use crate::clock::{self, parse_moment};
use crate::failure::{Exit, Failure};
use crate::text::{SiteStandings, Tongue};
use crate::{console, nearest, runtime, text};

/// Who is on what: the standards in force, and how far each kitchen is with them
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// All kitchens, as the hub at this address, or at several in turn, knows them
    #[arg(long, value_name = "URL", value_delimiter = ',', env = "CHABLON_HUB")]
    hub: Vec<String>,
    /// A kitchen's own replica instead, which needs no hub
    #[arg(long, value_name = "FILE")]
    replica: Option<PathBuf>,
    /// One kitchen alone, of those that the hub knows
    #[arg(long, value_name = "ID", conflicts_with = "replica")]
    site: Option<SiteId>,
    /// These recipes alone
    #[arg(long, value_name = "ID")]
    recipe: Vec<RecipeId>,
    /// Which documents
    #[arg(long, value_enum, default_value_t, conflicts_with = "recipe")]
    kind: Kind,
    /// What is in force at this moment; now if not given
    #[arg(long, value_name = "MOMENT", value_parser = parse_moment)]
    at: Option<Moment>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
    #[command(flatten)]
    line: LineArguments,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, ValueEnum)]
enum Kind {
    #[default]
    Recipes,
    All,
}

impl Arguments {
    fn wants(&self, key: &DocumentKey) -> bool {
        let named = |recipe: &RecipeId| *key == DocumentKey::from(recipe);
        match (&self.recipe[..], self.kind) {
            ([], Kind::All) => true,
            ([], Kind::Recipes) => key.kind == DocumentKind::Recipe,
            (recipes, _) => recipes.iter().any(named),
        }
    }

    /// By document where some are named, else by site.
    fn shown(&self, all: &[SiteStandings]) -> String {
        let width = console::width();
        let by_site = |one: &SiteStandings| text::by_site(one, width);
        match (all.iter().all(|one| one.rows.is_empty()), &self.recipe[..]) {
            (true, _) => "Nothing of it is in force.".to_owned(),
            (false, []) => all.iter().map(by_site).collect::<Vec<_>>().join("\n"),
            (false, _) => text::by_document(all, width),
        }
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let at = arguments.at.unwrap_or_else(clock::now);
    let shown = runtime::run(async {
        if let Some(file) = &arguments.replica {
            return of_replica(file, at, arguments).await;
        }
        let (client, site) = (client(arguments)?, arguments.site.as_ref());
        let all = of_hub(&client, site, at, |key| arguments.wants(key)).await?;
        Ok(match arguments.format {
            Format::Text => arguments.shown(&all),
            Format::Json => console::json(&text::standards_json(&all)),
        })
    })?;
    console::result(&shown)?;
    Ok(Exit::Result)
}

fn client(arguments: &Arguments) -> Result<Client, Failure> {
    if arguments.hub.is_empty() {
        return Err(Failure::usage("neither a hub nor a replica is named")
            .hint("name the hub with --hub URL, or the kitchen's replica with --replica FILE"));
    }
    arguments.line.connect(&arguments.hub)
}

/// What is in force at every site that a hub knows, or at one.
pub(super) async fn of_hub(
    client: &Client,
    site: Option<&SiteId>,
    at: Moment,
    wants: impl Fn(&DocumentKey) -> bool,
) -> Result<Vec<SiteStandings>, Failure> {
    let failed = |error| Failure::of(&error, "it isn't known who is on what");
    let known = client.sites().await.map_err(failed)?;
    let mut all = Vec::new();
    for one in chosen(known, site)? {
        let mut rows = client.adopted(&one.id, at).await.map_err(failed)?;
        rows.retain(|row| wants(&row.standard.document));
        all.push(SiteStandings { site: one, rows });
    }
    Ok(all)
}

fn chosen(known: Vec<Site>, site: Option<&SiteId>) -> Result<Vec<Site>, Failure> {
    if known.is_empty() {
        return Err(
            Failure::refused("the hub knows no kitchen yet").hint("release a book that has sites")
        );
    }
    let Some(id) = site else { return Ok(known) };
    let ids: Vec<String> = known.iter().map(|one| one.id.to_string()).collect();
    match known.into_iter().find(|one| one.id == *id) {
        Some(one) => Ok(vec![one]),
        None => Err(Failure::refused(format!("the hub knows no kitchen `{id}`"))
            .hint_if(nearest::hint(id.as_str(), ids.iter().map(String::as_str)))),
    }
}

async fn of_replica(file: &Path, at: Moment, arguments: &Arguments) -> Result<String, Failure> {
    let failed = |error| Failure::of(&error, "nothing can be read from it");
    let replica = Replica::reopen(file).await.map_err(failed)?;
    let status = replica.status().await.map_err(failed)?;
    let standards = replica.standards(at).await.map_err(failed)?;
    let deviations = replica.deviations(at).await.map_err(failed)?;
    let wanted = standards.iter().filter(|one| arguments.wants(&one.document));
    let wanted: Vec<_> = wanted.map(|one| (one, ByLeave::from(&deviations, one, at))).collect();
    let title = format!("In force at {} on {}", replica.site(), clock::show(at));
    replica.close().await;
    if arguments.format == Format::Json {
        let listed = text::replica_standards_json(&status.site, &wanted);
        return Ok(console::json(&text::json_with_age(listed, &status)));
    }
    let width = console::width();
    let sheet = format!("{title}\n{}", text::of_replica(&wanted, width));
    Ok(text::with_age(&sheet, &status, Tongue::English, width))
}
