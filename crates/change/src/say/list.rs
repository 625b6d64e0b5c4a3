//! What differs between two lists of ingredients.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{LabelRegime, Language};

use super::words::quoted;
use crate::Pair;

/// Names the entries that are new, gone or elsewhere.
pub(super) fn ingredient_list(
    regime: LabelRegime,
    language: &Language,
    text: &Pair<String>,
) -> String {
    let heads = text.as_ref().map(|text| text.find(": ").map(|at| &text[..at + 2]));
    let head = heads.before.filter(|head| heads.after == Some(*head)).unwrap_or_default();
    let lists = text.as_ref().map(|text| entries(&text[head.len()..]));
    let common = common(&lists);
    let new = (0..lists.after.len()).filter(|at| !common.iter().any(|pair| pair.after == *at));
    let gone = (0..lists.before.len()).filter(|at| !common.iter().any(|pair| pair.before == *at));
    let named = |list: &[&str], at: Vec<usize>| {
        at.into_iter().map(|at| quoted(list[at])).collect::<Vec<_>>().join(", ")
    };
    let parts = [
        ("now with ", named(&lists.after, new.collect())),
        ("without ", named(&lists.before, gone.collect())),
        ("moved: ", named(&lists.after, moved(&common))),
    ];
    let parts = parts.iter().filter(|(_, named)| !named.is_empty());
    let parts: Vec<String> = parts.map(|(what, named)| format!("{what}{named}")).collect();
    format!("list of ingredients ({}, {language}): {}", regime.as_str(), parts.join("; "))
}

/// The entries of a list: what commas part outside brackets.
fn entries(text: &str) -> Vec<&str> {
    let mut depth = 0_usize;
    let mut entries = Vec::new();
    let mut start = 0;
    for (at, letter) in text.char_indices() {
        match letter {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            ',' if depth == 0 => {
                entries.push(text[start..at].trim());
                start = at + 1;
            }
            _ => {}
        }
    }
    entries.push(text[start..].trim().trim_end_matches('.'));
    entries
}

/// The places of entries that both lists have.
fn common(lists: &Pair<Vec<&str>>) -> Vec<Pair<usize>> {
    let mut places: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
    for (at, entry) in lists.after.iter().enumerate().rev() {
        places.entry(entry).or_default().push(at);
    }
    let found = lists
        .before
        .iter()
        .enumerate()
        .filter_map(|(before, entry)| Some(Pair::new(before, places.get_mut(entry)?.pop()?)));
    found.collect()
}

/// The fewest entries that must be moved to bring one order into the other: those outside a
/// longest run that rises on both sides.
fn moved(common: &[Pair<usize>]) -> Vec<usize> {
    let mut best: Vec<(usize, Option<usize>)> = Vec::with_capacity(common.len());
    for (at, pair) in common.iter().enumerate() {
        let below = (0..at).filter(|other| common[*other].after < pair.after);
        let longest = below.max_by_key(|other| best[*other].0);
        best.push((longest.map_or(1, |other| best[other].0 + 1), longest));
    }
    let mut at = (0..best.len()).max_by_key(|at| best[*at].0);
    let mut stays = BTreeSet::new();
    while let Some(place) = at {
        stays.insert(common[place].after);
        at = best[place].1;
    }
    common.iter().map(|pair| pair.after).filter(|after| !stays.contains(after)).collect()
}
