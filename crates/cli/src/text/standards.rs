//! Who is on what.

use chablon_model::{DocumentKey, DocumentKind};
use chablon_sdk::{InForce, Listed, StandardState, TakenBack};
use owo_colors::{OwoColorize, Style};

use super::listing::{Listing, Side};
use super::release::key;
use crate::clock;
use crate::hub::{At, SiteStandings};

/// What is in force at a site, with how far its kitchen is.
pub(crate) fn site(standings: &SiteStandings, width: usize) -> String {
    let title = format!("{} ({}): {}", standings.site.name, standings.site.id, counts(standings));
    let mut listing = Listing::new(3, [Side::Left; 4]);
    listing.head(["", "standard", "since", "kitchen"]);
    let mut rows: Vec<&(Listed, At)> = standings.rows.iter().collect();
    // What needs somebody to look comes first.
    rows.sort_by_key(|(listed, at)| (!matches!(at, At::Behind { .. }), remarks(listed).is_none()));
    for (listed, at) in rows {
        listing.styled(cells(listed, &how_far(at)), style(listed, at));
        remarks(listed).into_iter().for_each(|remark| listing.remark(remark));
    }
    format!("{}\n{}", title.bold(), listing.render(width))
}

/// `24 in use, 1 behind`.
fn counts(standings: &SiteStandings) -> String {
    let count = |is: fn(&At) -> bool| standings.rows.iter().filter(|(_, at)| is(at)).count();
    let counts = [
        (count(|at| matches!(at, At::InUse(_))), "in use"),
        (count(|at| matches!(at, At::Received(_))), "received"),
        (count(|at| matches!(at, At::Behind { .. })), "behind"),
    ];
    let counts = counts.iter().filter(|(count, _)| *count > 0);
    let counts: Vec<String> = counts.map(|(count, what)| format!("{count} {what}")).collect();
    if counts.is_empty() { "nothing in force".to_owned() } else { counts.join(", ") }
}

/// What is in force by a replica alone.
pub(crate) fn replica(standards: &[&Listed], width: usize) -> String {
    let mut listing = Listing::new(0, [Side::Left; 3]);
    listing.head(["", "standard", "since"]);
    for listed in standards {
        let [name, standard, since, _] = cells(listed, "");
        listing.styled([name, standard, since], stopped_style(listed));
        remarks(listed).into_iter().for_each(|remark| listing.remark(remark));
    }
    listing.render(width)
}

fn cells(listed: &Listed, kitchen: &str) -> [String; 4] {
    let (standard, since) = match &listed.state {
        StandardState::InForce(InForce { revision, holds_from, because, .. }) => {
            let since = because.as_ref().map_or(*holds_from, |because| because.holds_from);
            (format!("revision {}", revision.number), since)
        }
        StandardState::Stopped(because) => ("make none".to_owned(), because.holds_from),
    };
    [name(&listed.document), standard, clock::show(since), kitchen.to_owned()]
}

/// Recipes, which are looked at most, by id alone.
fn name(document: &DocumentKey) -> String {
    match document.kind {
        DocumentKind::Recipe => document.id.to_string(),
        _ => key(document),
    }
}

fn how_far(at: &At) -> String {
    match at {
        At::InUse(since) => format!("in use since {}", clock::show(*since)),
        At::Received(since) => format!("received {}", clock::show(*since)),
        At::Behind { on: Some(number) } => format!("behind: still on revision {number}"),
        At::Behind { on: None } => "behind: hasn't got any".to_owned(),
    }
}

fn style(listed: &Listed, at: &At) -> Style {
    match at {
        At::Behind { .. } => Style::new().yellow(),
        At::InUse(_) | At::Received(_) => stopped_style(listed),
    }
}

fn stopped_style(listed: &Listed) -> Style {
    match listed.state {
        StandardState::Stopped(_) => Style::new().red(),
        StandardState::InForce(_) => Style::new(),
    }
}

/// What a withdrawal says of it.
fn remarks(listed: &Listed) -> Option<String> {
    let because = match &listed.state {
        StandardState::InForce(in_force) => in_force.because.as_ref()?,
        StandardState::Stopped(because) => because,
    };
    Some(taken_back(because))
}

/// `revision 3 was withdrawn by group pastry chef: gelatine ten times over`.
pub(crate) fn taken_back(because: &TakenBack) -> String {
    let TakenBack { withdrawn, reason, author, .. } = because;
    format!("revision {} was withdrawn by {author}: {reason}", withdrawn.number)
}
