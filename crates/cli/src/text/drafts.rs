//! Drafts as those who look at them read them.

use chablon_sdk::drafts::{Draft, DraftAct, DraftCheck, DraftEvent, DraftState};

use super::counted;
use super::listing::{Listing, Side, paragraph};
use crate::clock;

/// Drafts, a line each.
pub(crate) fn drafts(all: &[Draft], width: usize) -> String {
    let mut listing = Listing::new(0, [Side::Left, Side::Left, Side::Left, Side::Left]);
    listing.head(["draft", "stands", "by", "what and why"]);
    for draft in all {
        listing.row([
            draft.id.to_string(),
            stands(draft),
            draft.author.clone(),
            draft.note.clone(),
        ]);
    }
    listing.render(width)
}

/// What was done to a draft, a line each.
pub(crate) fn history(draft: &Draft, width: usize) -> String {
    let heading = format!("Draft {}: {}, {}", draft.id, draft.note, stands(draft));
    let mut text = paragraph(&heading, 0, width);
    for event in &draft.events {
        text += &paragraph(&told(event), 2, width);
    }
    text
}

/// What the hub says of a draft.
pub(crate) fn check(check: &DraftCheck, width: usize) -> String {
    let mut text = String::new();
    for finding in &check.findings {
        let weight = if finding.is_error { "error" } else { "warning" };
        let line = format!("{weight}: {}: {}", finding.document, finding.message);
        text += &paragraph(&line, 0, width);
    }
    if let Some(document) = &check.outdated {
        let line = format!("{document} was released anew since: propose the draft again");
        text += &paragraph(&line, 0, width);
    }
    text + &paragraph(&needed(check), 0, width)
}

fn needed(check: &DraftCheck) -> String {
    let class = check.class.as_deref().unwrap_or("nothing");
    match check.needed {
        0 => format!("Class: {class}. Nobody else must approve it."),
        1 => format!("Class: {class}. 1 other must approve it."),
        many => format!("Class: {class}. {many} others must approve it."),
    }
}

fn stands(draft: &Draft) -> String {
    let state = match draft.state {
        DraftState::Open => "open",
        DraftState::InReview => "in review",
        DraftState::Returned => "returned",
        DraftState::Approved => "approved",
        DraftState::Released => "released",
        DraftState::Dropped => "dropped",
    };
    match draft.approvals().len() {
        0 => state.to_owned(),
        many => format!("{state}, {}", counted(many, "approval")),
    }
}

fn told(event: &DraftEvent) -> String {
    let did = match event.act {
        DraftAct::Create => "made it",
        DraftAct::Update => "changed it",
        DraftAct::Submit => "gave it to review",
        DraftAct::Comment => "says",
        DraftAct::Approve => "approved it",
        DraftAct::Return => "returned it",
        DraftAct::Drop => "dropped it",
        DraftAct::Release => "released it",
    };
    let text = if event.text.is_empty() { String::new() } else { format!(": {}", event.text) };
    format!("{} {} {did}{text}", clock::show(event.at), event.by)
}
