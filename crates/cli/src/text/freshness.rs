//! How old what a kitchen's replica says is.

use chablon_model::Moment;
use chablon_sdk::Status;
use owo_colors::Style;
use serde_json::{Value, json};

use super::listing::{paragraph, styled};
use super::tongue::Tongue;
use crate::clock;

/// What is overdue, a sentence each.
pub(crate) fn overdue(status: &Status, tongue: Tongue, now: Moment) -> Vec<String> {
    let site = &status.site;
    let silent = match status.known_at() {
        None => tongue.pick(
            format!("{site} was never up to date with any hub, so standards may be missing."),
            format!("{site} n'a encore été à jour avec aucun hub : il peut manquer des standards."),
        ),
        // It did hear of somebody, and of nothing that a hub's key signed since.
        Some(at) if status.last_contact.is_some_and(|heard| heard > at) => {
            let at = clock::show(at);
            tongue.pick(
                format!("Since {at} no hub has vouched for what {site} holds: what was released or withdrawn since may be missing."),
                format!("Depuis {at}, aucun hub n'a confirmé ce que {site} détient : il manque peut-être ce qui a été publié ou retiré depuis."),
            )
        }
        Some(at) => {
            let at = clock::show(at);
            tongue.pick(
                format!("{site} has heard of no hub since {at}: what was released or withdrawn since is missing."),
                format!("{site} n'a de nouvelles d'aucun hub depuis {at} : il manque ce qui a été publié ou retiré depuis."),
            )
        }
    };
    let notices = status.trust.iter().flat_map(|trust| &trust.notices);
    let notices = notices.map(|notice| format!("{notice}."));
    status.is_overdue(now).then_some(silent).into_iter().chain(notices).collect()
}

/// When it last heard of a hub.
fn heard(status: &Status, tongue: Tongue) -> String {
    let Some(at) = status.known_at().map(clock::show) else { return String::new() };
    let site = &status.site;
    tongue.pick(
        format!("By what {site} has received, up to date with the hub on {at}."),
        format!("D'après ce que {site} a reçu, à jour avec le hub le {at}."),
    )
}

/// A sheet with what is overdue at its head and how old it is at its foot.
pub(crate) fn with_age(sheet: &str, status: &Status, tongue: Tongue, width: usize) -> String {
    let style = Style::new().yellow().bold();
    let each = overdue(status, tongue, clock::now()).into_iter();
    let head: String = each.map(|one| styled(&format!("! {one}"), 0, width, style)).collect();
    let foot = paragraph(heard(status, tongue).as_str(), 0, width);
    format!("{head}{}\n{foot}", sheet.trim_end_matches('\n'))
}

/// The same for programs.
pub(crate) fn age_json(status: &Status, now: Moment) -> Value {
    let notices = status.trust.iter().flat_map(|trust| &trust.notices);
    json!({
        "site": status.site.to_string(),
        "heard_at_ms": status.last_contact.map(|at| at.0),
        "known_at_ms": status.known_at().map(|at| at.0),
        "overdue": status.is_overdue(now),
        "notices": notices.map(ToString::to_string).collect::<Value>(),
        "unsaid": status.unsaid,
    })
}

/// An object with the replica's age beside its own keys.
pub(crate) fn json_with_age(mut object: Value, status: &Status) -> Value {
    object["replica"] = age_json(status, clock::now());
    object
}
