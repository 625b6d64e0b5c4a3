//! What is wrong or doubtful in a draft.

use std::collections::{BTreeMap, BTreeSet};

use chablon_arith::{Severity, compile};
use chablon_change::Edition;
use chablon_declare::Declarer;
use chablon_model::{DocumentContent, DocumentKey, RecipeId};
use chablon_wire::DraftFinding;

use super::content::Proposal;
use super::look::Latest;
use crate::release::place;

/// All that is found in what a draft holds, as it stands with everything else; errors first.
pub(super) fn findings(
    proposal: &Proposal,
    latest: &Latest,
    after: &Edition<'_>,
) -> Vec<DraftFinding> {
    let mut found = left_behind(proposal, latest);
    let library = after.library();
    let (_, problems) = compile(&library);
    found.extend(problems.iter().filter_map(|problem| {
        let (document, path) = place(&problem.place);
        proposal.of(&document)?;
        let message = format!("{problem}; {}", problem.fault.hint());
        let is_error = problem.severity() == Severity::Error;
        Some(DraftFinding { is_error, document, path, message })
    }));
    found.extend(declared(proposal, &Declarer::new(&library)));
    found.sort_by(|a, b| (!a.is_error, &a.document).cmp(&(!b.is_error, &b.document)));
    found
}

/// What uses a document of the draft and would go on with the revision before.
fn left_behind(proposal: &Proposal, latest: &Latest) -> Vec<DraftFinding> {
    let mut found = Vec::new();
    for (head, revision) in latest.values().filter(|(head, _)| proposal.of(&head.key).is_none()) {
        let pins = revision.pins.iter();
        if let Some(pin) = pins.into_iter().find(|pin| proposal.of(&pin.key).is_some()) {
            let message = format!(
                "uses `{}`, which the draft changes, and would stay on the revision before; make \
                 the draft anew so that it carries it along",
                pin.key
            );
            let (document, path) = (head.key.clone(), String::new());
            found.push(DraftFinding { is_error: true, document, path, message });
        }
    }
    found
}

/// What isn't known of allergens, and what contradicts itself, once for each ingredient.
fn declared(proposal: &Proposal, declarer: &Declarer<'_>) -> Vec<DraftFinding> {
    let mut missing: BTreeMap<DocumentKey, (BTreeSet<String>, BTreeSet<RecipeId>)> =
        BTreeMap::new();
    let mut doubtful: BTreeMap<DocumentKey, BTreeSet<String>> = BTreeMap::new();
    for recipe in recipes(proposal) {
        for blocker in declarer.release_blockers(recipe).unwrap_or_default() {
            let (unstated, reached) = missing.entry((&blocker.ingredient).into()).or_default();
            unstated.extend(blocker.missing.iter().map(ToString::to_string));
            reached.insert(recipe.clone());
        }
        for one in declarer.contradictions(recipe).unwrap_or_default() {
            doubtful.entry((&one.ingredient).into()).or_default().insert(one.to_string());
        }
    }
    let missing = missing.into_iter().map(|(document, (unstated, reached))| {
        let reached: Vec<&str> = reached.iter().map(RecipeId::as_str).collect();
        let unstated: Vec<String> = unstated.into_iter().collect();
        let message = format!(
            "it isn't stated whether it holds {}, and it is in {}; state it in the ingredient",
            unstated.join(", "),
            reached.join(", ")
        );
        DraftFinding { is_error: true, document, path: "ingredient.allergens".to_owned(), message }
    });
    let doubtful = doubtful.into_iter().flat_map(|(document, all)| {
        let path = "ingredient.made_of".to_owned();
        all.into_iter().map(move |message| {
            let (document, path) = (document.clone(), path.clone());
            DraftFinding { is_error: false, document, path, message }
        })
    });
    missing.chain(doubtful).collect()
}

fn recipes(proposal: &Proposal) -> impl Iterator<Item = &RecipeId> {
    proposal.revisions.iter().filter_map(|(_, revision, _)| match &revision.content {
        DocumentContent::Recipe(recipe) => Some(&recipe.id),
        _ => None,
    })
}
