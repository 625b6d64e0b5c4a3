//! Kitchens that leave groups, and what would be in force there again.

use chablon_model::{GroupId, Withdrawal};
use chablon_sdk::change::Leaving;
use chablon_sdk::declare::caution;
use chablon_sdk::{InForceAgain, Untold};
use owo_colors::Style;
use serde::Serialize;

use super::listing::{paragraph, styled};
use super::tongue::Tongue;

/// What is to be known of sites that leave groups, whatever was withdrawn from those.
pub(crate) fn leaving(all: &[Leaving], tongue: Tongue, width: usize) -> String {
    if all.is_empty() {
        return String::new();
    }
    let each = all.iter().map(|one| paragraph(&format!("{}.", leaves(one, tongue)), 0, width));
    each.collect::<String>() + &paragraph(tongue.caution(caution::LEAVING), 0, width)
}

/// What would be in force again, and what to do about it.
pub(crate) fn in_force_again(all: &[InForceAgain], tongue: Tongue, width: usize) -> String {
    let style = Style::new().red().bold();
    let mut text = String::new();
    for one in all {
        text += &styled(&format!("! {}", again(one, tongue)), 0, width, style);
        for untold in &one.withdrawn {
            text += &paragraph(&taken(untold, tongue), 2, width);
        }
        text += &paragraph(&mend(one, tongue), 2, width);
    }
    text
}

fn leaves(leaving: &Leaving, tongue: Tongue) -> String {
    let Leaving { site, .. } = leaving;
    let left = left(leaving);
    tongue.pick(format!("Kitchen {site} leaves {left}"), format!("La cuisine {site} quitte {left}"))
}

fn left(leaving: &Leaving) -> String {
    leaving.left().map(GroupId::as_str).collect::<Vec<_>>().join(", ")
}

fn again(one: &InForceAgain, tongue: Tongue) -> String {
    let leaves = leaves(&one.leaving, tongue);
    tongue.pick(
        format!("{leaves}, and would no longer know what was withdrawn there:"),
        format!("{leaves}, et ne saurait plus ce qui y était retiré\u{a0}:"),
    )
}

/// `recipe/honey-bavarois, revision 2, in force again; withdrawn by group pastry chef: the wrong
/// honey`
fn taken(untold: &Untold, tongue: Tongue) -> String {
    let Withdrawal { revision, reason, author, .. } = &untold.withdrawal;
    let (key, number, how) = (&revision.key, revision.number, how(untold, tongue));
    tongue.pick(
        format!("{key}, revision {number}, {how}; withdrawn by {author}: {reason}"),
        format!("{key}, révision {number}, {how}\u{a0}; retirée par {author}\u{a0}: {reason}"),
    )
}

fn how(untold: &Untold, tongue: Tongue) -> String {
    let users: Vec<_> = untold.used_by.iter().map(|one| one.key.to_string()).collect();
    let users = users.join(", ");
    let used = tongue.pick(format!("used by {users}"), format!("utilisée par {users}"));
    let again = tongue.pick("in force again", "de nouveau en vigueur");
    match (untold.in_force, untold.used_by.is_empty()) {
        (true, true) => again.to_owned(),
        (true, false) => format!("{again}, {used}"),
        (false, _) => used,
    }
}

fn mend(one: &InForceAgain, tongue: Tongue) -> String {
    let site = &one.leaving.site;
    tongue.pick(
        format!(
            "Withdraw it again before this is released: from the kitchen (--to site:{site}) or from \
             everybody."
        ),
        format!(
            "À retirer de nouveau avant de publier ceci\u{a0}: pour la cuisine (--to site:{site}) ou \
             pour toutes."
        ),
    )
}

/// The same for programs.
#[derive(Serialize)]
pub(super) struct AgainReport {
    site: String,
    leaves: Vec<String>,
    withdrawn: Vec<TakenReport>,
}

#[derive(Serialize)]
struct TakenReport {
    document: String,
    revision: u32,
    reason: String,
    author: String,
    in_force: bool,
    used_by: Vec<String>,
}

impl AgainReport {
    pub(super) fn new(one: &InForceAgain) -> Self {
        let taken = |Untold { withdrawal, in_force, used_by, .. }: &Untold| TakenReport {
            document: withdrawal.revision.key.to_string(),
            revision: withdrawal.revision.number,
            reason: withdrawal.reason.clone(),
            author: withdrawal.author.clone(),
            in_force: *in_force,
            used_by: used_by.iter().map(|one| one.key.to_string()).collect(),
        };
        Self {
            site: one.leaving.site.to_string(),
            leaves: one.leaving.left().map(ToString::to_string).collect(),
            withdrawn: one.withdrawn.iter().map(taken).collect(),
        }
    }
}
