//! What a change means, the worst first.

use chablon_model::DocumentKey;
use chablon_sdk::InForceAgain;
use chablon_sdk::change::{Change, Class, Comparison, Route};
use owo_colors::Style;
use serde::Serialize;

use super::leaving::AgainReport;
use super::listing::{paragraph, styled};
use super::tongue::Tongue;

/// A comparison for people.
pub(crate) fn meaning(comparison: &Comparison, width: usize) -> String {
    if comparison.is_empty() {
        return "Nothing changes.\n".to_owned();
    }
    let mut text = String::new();
    let mut heading = None;
    for change in comparison.changes() {
        let under = (change.class(), change.what.group());
        if heading != Some(under) {
            let (class, group) = under;
            text += &heading_of(class, group.as_str(), width);
            heading = Some(under);
        }
        text += &paragraph(&line(comparison, change), 2, width);
    }
    let carried = carried_along(comparison);
    if !carried.is_empty() {
        text += &paragraph(&format!("Above what changes: {}", carried.join(", ")), 0, width);
    }
    let tongue = Tongue::of_group(comparison.language());
    for caution in comparison.cautions() {
        text += &paragraph(tongue.caution(caution), 0, width);
    }
    text
}

/// What can hurt somebody is told apart without colours, too.
fn heading_of(class: Class, group: &str, width: usize) -> String {
    let heading = format!("{}: {group}", capital(class));
    if class == Class::Safety {
        styled(&format!("! {heading}"), 0, width, Style::new().red().bold())
    } else {
        paragraph(&heading, 0, width)
    }
}

fn capital(class: Class) -> String {
    let name = class.as_str();
    name[..1].to_uppercase() + &name[1..]
}

/// `recipe/honey-bavarois: honey 150 g instead of 170 g (in pear-buckwheat-entremet)`
fn line(comparison: &Comparison, change: &Change) -> String {
    let pieces = pieces(comparison, change);
    let within = match &pieces[..] {
        [] => String::new(),
        pieces => format!(" (in {})", pieces.join(", ")),
    };
    format!("{}: {}{within}", change.place, change.what)
}

/// The finished pieces that a change is in, but for the one that it is about.
fn pieces(comparison: &Comparison, change: &Change) -> Vec<String> {
    let tops = comparison.pieces_of(change).into_iter().filter_map(top);
    tops.filter(|top| *top != change.place).map(|top| top.id.to_string()).collect()
}

fn top(route: Route) -> Option<DocumentKey> {
    route.path.into_iter().next()
}

fn carried_along(comparison: &Comparison) -> Vec<String> {
    comparison.cascade().affected().keys().map(ToString::to_string).collect()
}

/// What `--format json` prints of a comparison.
#[derive(Serialize)]
pub(crate) struct ComparisonReport {
    class: Option<&'static str>,
    changes: Vec<ChangeReport>,
    above: Vec<String>,
    cautions: Vec<&'static str>,
    /// None where no hub was asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    in_force_again: Option<Vec<AgainReport>>,
}

#[derive(Serialize)]
struct ChangeReport {
    class: &'static str,
    group: &'static str,
    code: &'static str,
    document: String,
    text: String,
    pieces: Vec<String>,
}

impl ComparisonReport {
    pub(crate) fn new(comparison: &Comparison, again: Option<&[InForceAgain]>) -> Self {
        let change = |change: &Change| ChangeReport {
            class: change.class().as_str(),
            group: change.what.group().as_str(),
            code: change.what.code(),
            document: change.place.to_string(),
            text: change.what.to_string(),
            pieces: pieces(comparison, change),
        };
        Self {
            class: comparison.class().map(Class::as_str),
            changes: comparison.changes().iter().map(change).collect(),
            above: carried_along(comparison),
            cautions: comparison.cautions(),
            in_force_again: again.map(|all| all.iter().map(AgainReport::new).collect()),
        }
    }
}
