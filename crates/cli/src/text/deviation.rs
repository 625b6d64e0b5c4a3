//! Deviations, and what they change.

use chablon_model::{Allergen, Decision, Deviation, RevisionRef};
use chablon_sdk::change::{Comparison, Fit, ThreeWay, departure_words};
use chablon_sdk::deviations::State;
use owo_colors::{OwoColorize, Style};

use super::listing::{Listing, Side, paragraph, styled};
use crate::clock;

/// A deviation with what it comes to now.
#[derive(Debug)]
pub(crate) struct Row {
    pub(crate) deviation: Deviation,
    pub(crate) state: State,
    /// The number of the revision that is in force.
    pub(crate) standard: Option<u32>,
}

/// Deviations, each with what it departs in.
pub(crate) fn deviations(rows: &[Row], width: usize) -> String {
    if rows.is_empty() {
        return "Nothing is asked, and nothing is made otherwise.".to_owned();
    }
    let mut listing = Listing::new(0, [Side::Left; 4]);
    listing.head(["", "site", "recipe", ""]);
    for row in rows {
        let Deviation { id, site, based_on, .. } = &row.deviation;
        let recipe = format!("{}, revision {}", based_on.key.id, based_on.number);
        let cells = [id.to_string(), site.to_string(), recipe, state(row)];
        listing.styled(cells, style(row.state));
        row.deviation.departures.iter().for_each(|one| listing.remark(departure_words(one)));
        listing.remark_if_any(decision(&row.deviation));
    }
    listing.render(width)
}

fn state(row: &Row) -> String {
    let Row { deviation, state, standard } = row;
    let (from, until) = (clock::show(deviation.from), clock::show(deviation.until));
    match (state, standard) {
        (State::Asked, _) => format!("asked until {until}"),
        (State::Again, Some(number)) => {
            format!("to be decided anew: revision {number} is in force")
        }
        (State::Again, None) => "to be decided anew: no standard is in force".to_owned(),
        (State::InForce, _) => format!("made so until {until}"),
        (State::NotYet, _) => format!("granted from {from} until {until}"),
        (State::Refused, _) => "refused".to_owned(),
        (State::Expired, _) => format!("fell away {until}"),
    }
}

/// What was decided, in a sentence.
pub(crate) fn decision(deviation: &Deviation) -> Option<String> {
    match &deviation.decision {
        Decision::Asked => None,
        Decision::Granted(grant) => {
            let note = grant.note.as_ref().map_or_else(String::new, |note| format!(": {note}"));
            let allergens: Vec<&str> = grant.allergens.iter().map(Allergen::code).collect();
            let seen = match allergens[..] {
                [] => String::new(),
                _ => format!(" with {}", allergens.join(", ")),
            };
            Some(format!("granted by {}{seen}{note}", grant.by))
        }
        Decision::Refused { by, reason, .. } => Some(format!("refused by {by}: {reason}")),
    }
}

/// What was decided of a deviation, as the kitchen that asked reads it.
pub(crate) fn decided(deviation: &Deviation) -> Option<String> {
    let (id, recipe, words) = (&deviation.id, deviation.recipe(), decision(deviation)?);
    let until = deviation.decision.granted().map(|_| clock::show(deviation.until));
    let until = until.map_or_else(String::new, |until| format!(", until {until}"));
    Some(format!("~ Deviation {id} from {recipe}{until}: {words}\n"))
}

fn style(state: State) -> Style {
    match state {
        State::Asked | State::Again => Style::new().yellow(),
        State::InForce => Style::new().magenta(),
        State::NotYet | State::Refused | State::Expired => Style::new(),
    }
}

/// What changes, the worst first.
pub(crate) fn comparison(comparison: &Comparison, width: usize) -> String {
    if comparison.is_empty() {
        return "Nothing that is shown changes by it.".to_owned();
    }
    let changes = comparison.changes().iter().map(|change| {
        let class = change.class();
        let line = format!("{class}: {change}");
        if class == chablon_sdk::change::Class::Safety {
            styled(&format!("! {line}"), 2, width, Style::new().red().bold())
        } else {
            paragraph(&line, 2, width)
        }
    });
    let cautions = comparison.cautions().into_iter().map(|one| paragraph(one, 0, width));
    changes.chain(cautions).collect()
}

/// A deviation that is put again: what became of the standard, and how each departure fits it.
pub(crate) fn three_way(
    deviation: &Deviation,
    now: &RevisionRef,
    put: &ThreeWay,
    width: usize,
) -> String {
    let (recipe, was) = (&now.key.id, deviation.based_on.number);
    let title =
        format!("{recipe}: revision {was} was departed from, revision {} is in force", now.number);
    let mut text = format!("{}\n{}", title.bold(), comparison(&put.standard, width));
    for (departure, fit) in deviation.departures.iter().zip(&put.fits) {
        let words = departure_words(departure);
        let fit = match fit {
            Fit::Applies(now) => format!("{words}: still fits ({})", departure_words(now)),
            Fit::Moot => format!("{words}: the standard says so now"),
            Fit::Conflicts(conflict) => format!("! {words}: {conflict}"),
        };
        text += &paragraph(&fit, 2, width);
    }
    text
}
