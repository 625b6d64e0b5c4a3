//! Who is on what.

use chablon_model::{DocumentKey, DocumentKind, Site};
use chablon_sdk::change::departure_words;
use chablon_sdk::deviations::{ByLeave, State};
use chablon_sdk::{Adopted, GoesBy, HowFar, InForce, Listed, StandardState, TakenBack};
use owo_colors::{OwoColorize, Style};

use super::listing::{Listing, Side};
use super::release::key;
use crate::clock;

/// What is in force at a site, with how far the site is.
#[derive(Debug)]
pub(crate) struct SiteStandings {
    pub(crate) site: Site,
    pub(crate) rows: Vec<Adopted>,
}

/// What is in force at a site, with how far its kitchen is.
pub(crate) fn by_site(standings: &SiteStandings, width: usize) -> String {
    let title = format!("{} ({}): {}", standings.site.name, standings.site.id, counts(standings));
    let mut rows: Vec<&Adopted> = standings.rows.iter().collect();
    // What needs somebody to look comes first.
    let is_plain = |row: &Adopted| remark(&row.standard).is_none() && row.by_leave.is_empty();
    rows.sort_by_key(|row| (!waits(&row.kitchen), is_plain(row)));
    let named = rows.into_iter().map(|row| (name(&row.standard.document), row));
    block(&title, &named.collect::<Vec<_>>(), width)
}

/// The same for a few documents: each with all the sites that have it.
pub(crate) fn by_document(all: &[SiteStandings], width: usize) -> String {
    let mut documents: Vec<&DocumentKey> =
        rows(all).map(|(_, row)| &row.standard.document).collect();
    documents.sort();
    documents.dedup();
    let blocks = documents.into_iter().map(|document| {
        let its = rows(all).filter(|(_, row)| row.standard.document == *document);
        block(&name(document), &its.collect::<Vec<_>>(), width)
    });
    blocks.collect::<Vec<_>>().join("\n")
}

/// Every row, with the site that it is of.
fn rows(all: &[SiteStandings]) -> impl Iterator<Item = NamedRow<'_>> {
    all.iter().flat_map(|one| {
        let site = &one.site.id;
        one.rows.iter().map(move |row| (site.to_string(), row))
    })
}

/// A row with what it begins with.
type NamedRow<'a> = (String, &'a Adopted);

fn block(title: &str, rows: &[NamedRow<'_>], width: usize) -> String {
    let mut listing = Listing::new(3, [Side::Left; 4]);
    listing.head(["", "standard", "since", "kitchen"]);
    let mut sharing = 0;
    for (index, (name, row)) in rows.iter().enumerate() {
        let listed = &row.standard;
        let [standard, since] = standard(listed);
        listing.styled([name.clone(), standard, since, how_far(row)], style(row));
        for one in &row.by_leave {
            listing.remark(format!("{name}, {}", by_leave(one)));
        }
        if let HowFar::Refused { reason, .. } = &row.kitchen {
            listing.remark(format!("{name}, refused: {reason}"));
        }
        // Rows that follow each other for the same reason share it.
        let next = rows.get(index + 1).and_then(|(_, next)| remark(&next.standard));
        let own = remark(listed);
        sharing += 1;
        if own != next || index + 1 == rows.len() {
            let of = if sharing > 1 { format!("all {sharing}, ") } else { String::new() };
            listing.remark_if_any(own.map(|own| format!("{of}{own}")));
            sharing = 0;
        }
    }
    format!("{}\n{}", title.bold(), listing.render(width))
}

/// `24 in use, 1 behind`.
fn counts(standings: &SiteStandings) -> String {
    let count =
        |is: fn(&HowFar) -> bool| standings.rows.iter().filter(|row| is(&row.kitchen)).count();
    let counts = [
        (count(|at| matches!(at, HowFar::InUse { .. })), "in use"),
        (count(|at| matches!(at, HowFar::Received { .. })), "received"),
        (count(|at| matches!(at, HowFar::Refused { .. })), "refused"),
        (count(|at| matches!(at, HowFar::Behind { .. })), "behind"),
    ];
    let counts = counts.iter().filter(|(count, _)| *count > 0);
    let counts: Vec<String> = counts.map(|(count, what)| format!("{count} {what}")).collect();
    if counts.is_empty() { "nothing in force".to_owned() } else { counts.join(", ") }
}

/// What is in force by a replica alone.
pub(crate) fn of_replica(standards: &[(&Listed, Vec<ByLeave>)], width: usize) -> String {
    let mut listing = Listing::new(0, [Side::Left; 3]);
    listing.head(["", "standard", "since"]);
    for (listed, leaves) in standards {
        let [standard, since] = standard(listed);
        listing.styled([name(&listed.document), standard, since], stopped_style(listed));
        for one in leaves {
            listing.remark(by_leave(one));
        }
        listing.remark_if_any(remark(listed));
    }
    listing.render(width)
}

/// What the kitchen makes otherwise, or did before the standard changed.
fn by_leave(ByLeave { deviation, state, .. }: &ByLeave) -> String {
    let (id, until) = (&deviation.id, clock::show(deviation.until));
    let words: Vec<String> = deviation.departures.iter().map(departure_words).collect();
    let words = words.join("; ");
    match state {
        State::Again => {
            let number = deviation.based_on.number;
            format!("by leave no more: {id} was granted for revision {number}; decide it anew")
        }
        State::NotYet => {
            let from = clock::show(deviation.from);
            format!("by leave from {from} until {until}: {words} ({id})")
        }
        _ => format!("by leave until {until}: {words} ({id})"),
    }
}

/// What the standard is, and since when.
fn standard(listed: &Listed) -> [String; 2] {
    let (standard, since) = match &listed.state {
        StandardState::InForce(InForce { revision, holds_from, because, .. }) => {
            let since = because.as_ref().map_or(*holds_from, |because| because.holds_from);
            (format!("revision {}", revision.number), since)
        }
        StandardState::Stopped(because) => ("make none".to_owned(), because.holds_from),
    };
    [standard, clock::show(since)]
}

/// Recipes, which are looked at most, by id alone.
fn name(document: &DocumentKey) -> String {
    match document.kind {
        DocumentKind::Recipe => document.id.to_string(),
        _ => key(document),
    }
}

fn how_far(row: &Adopted) -> String {
    match &row.kitchen {
        HowFar::InUse { since } => format!("in use since {}", clock::show(*since)),
        HowFar::Received { since } => format!("received {}", clock::show(*since)),
        HowFar::Refused { since, .. } => format!("refused {}", clock::show(*since)),
        HowFar::Behind { by, since } => match row.stale_since() {
            None => "not told yet, but on it".to_owned(),
            Some(_) => format!("behind since {}, {}", clock::show(*since), meanwhile(*by)),
        },
    }
}

fn meanwhile(by: GoesBy) -> String {
    match by {
        GoesBy::Nothing => "has nothing of it".to_owned(),
        GoesBy::MakeNone => "makes none".to_owned(),
        GoesBy::Revision(number) => format!("still on revision {number}"),
    }
}

/// Whether somebody should look at it.
fn waits(kitchen: &HowFar) -> bool {
    matches!(kitchen, HowFar::Behind { .. } | HowFar::Refused { .. })
}

fn style(row: &Adopted) -> Style {
    if waits(&row.kitchen) { Style::new().yellow() } else { stopped_style(&row.standard) }
}

fn stopped_style(listed: &Listed) -> Style {
    match listed.state {
        StandardState::Stopped(_) => Style::new().red(),
        StandardState::InForce(_) => Style::new(),
    }
}

/// What a withdrawal says of it.
fn remark(listed: &Listed) -> Option<String> {
    let TakenBack { withdrawn, reason, .. } = because(listed)?;
    Some(format!("revision {} withdrawn: {reason}", withdrawn.number))
}

/// What is withdrawn and why, a line each.
pub(crate) fn withdrawn(standards: &[Listed]) -> String {
    let line = |listed: &Listed| {
        let (what, remark) = (what(listed), remark(listed)?);
        Some(format!("\n! {what}. {remark}"))
    };
    standards.iter().filter_map(line).collect()
}

/// The withdrawal that makes a standard what it is.
fn because(listed: &Listed) -> Option<&TakenBack> {
    match &listed.state {
        StandardState::InForce(in_force) => in_force.because.as_ref(),
        StandardState::Stopped(because) => Some(because),
    }
}

/// What is new in force: what it is below the reason for which it is.
pub(crate) fn news(new: &[&Listed]) -> String {
    let mut by_reason: Vec<(String, Vec<String>)> = Vec::new();
    for listed in new {
        let (reason, what) = (reason(listed), what(listed));
        match by_reason.iter_mut().find(|(known, _)| *known == reason) {
            Some((_, all)) => all.push(what),
            None => by_reason.push((reason, vec![what])),
        }
    }
    let told =
        by_reason.into_iter().map(|(reason, what)| format!("{reason}\n  {}", what.join("\n  ")));
    told.collect::<Vec<_>>().join("\n")
}

fn reason(listed: &Listed) -> String {
    match (&listed.state, because(listed)) {
        (_, Some(TakenBack { reason, author, .. })) => format!("Withdrawn by {author}: {reason}"),
        (StandardState::InForce(in_force), None) => format!("Released: {}", in_force.note),
        (StandardState::Stopped(_), None) => String::new(),
    }
}

fn what(listed: &Listed) -> String {
    let name = key(&listed.document);
    match (&listed.state, because(listed)) {
        (StandardState::Stopped(because), _) => {
            format!(
                "{name}: make none until further notice (was revision {})",
                because.withdrawn.number
            )
        }
        (StandardState::InForce(in_force), Some(because)) => {
            let (back, from) = (in_force.revision.number, because.withdrawn.number);
            format!("{name}: back to revision {back} from {from}")
        }
        (StandardState::InForce(in_force), None) => {
            format!("{name}: revision {}", in_force.revision.number)
        }
    }
}
