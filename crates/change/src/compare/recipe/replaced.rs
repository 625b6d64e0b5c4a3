//! Which lines take the place of others.

use std::cmp::Reverse;

use chablon_model::{Line, Uses};
use chablon_quantity::Exact;

use super::renamed::Renamed;
use crate::Pair;

/// How many times heavier a line may be than the one whose place it takes. Beyond that it does
/// another job, and the two are better told apart.
const HEAVIER: i128 = 10;

/// How many pairs of lines are looked at. Beyond that it is another recipe, and nobody reads it
/// as one whose lines were replaced.
const TOO_MANY: usize = 2_500;

/// A line that could take the place of another, the likeliest the smallest.
///
/// The keys are the same when the sides are exchanged.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Candidate<'a> {
    likeness: Reverse<usize>,
    distance: usize,
    places: usize,
    uses: [&'a Uses; 2],
    before: usize,
    after: usize,
}

/// Takes pairs of lines out of those without a partner: one that is gone and one that stands in
/// its place, between the same neighbours.
pub(super) fn replaced(
    pairs: &[Pair<usize>],
    loose: &mut Pair<Vec<usize>>,
    lines: Pair<&[Line]>,
    grams: Pair<&[Option<Exact>]>,
    renamed: &Renamed<'_>,
) -> Vec<Pair<usize>> {
    let mut candidates: Vec<Candidate<'_>> = Vec::new();
    if loose.before.len() * loose.after.len() > TOO_MANY {
        return Vec::new();
    }
    for &before in &loose.before {
        let around = neighbours(before, pairs, |pair| pair.before);
        for &after in &loose.after {
            let there = neighbours(after, pairs, |pair| pair.after);
            let beside = around.iter().zip(&there).filter(|(one, other)| one == other).count();
            let (old, new) = (&lines.before[before], &lines.after[after]);
            if beside == 0
                || !comparable(grams.before[before].as_ref(), grams.after[after].as_ref())
            {
                continue;
            }
            let one_step = old.step.is_some() && renamed.step_of(old) == new.step.as_ref();
            let mut uses = [&old.uses, &new.uses];
            uses.sort();
            candidates.push(Candidate {
                likeness: Reverse(beside + usize::from(one_step)),
                distance: before.abs_diff(after),
                places: before + after,
                uses,
                before,
                after,
            });
        }
    }
    candidates.sort();
    let mut found = Vec::new();
    for Candidate { before, after, .. } in candidates {
        if loose.before.contains(&before) && loose.after.contains(&after) {
            loose.before.retain(|at| *at != before);
            loose.after.retain(|at| *at != after);
            found.push(Pair::new(before, after));
        }
    }
    found
}

/// The nearest lines above and below that have a partner, by their places among the pairs;
/// nothing at an end.
fn neighbours(
    at: usize,
    pairs: &[Pair<usize>],
    side: fn(&Pair<usize>) -> usize,
) -> [Option<usize>; 2] {
    let places = || pairs.iter().map(side).enumerate();
    let above = places().filter(|(_, place)| *place < at).max_by_key(|(_, place)| *place);
    let below = places().filter(|(_, place)| *place > at).min_by_key(|(_, place)| *place);
    [above.map(|(pair, _)| pair), below.map(|(pair, _)| pair)]
}

/// Whether neither line weighs far more than the other.
fn comparable(before: Option<&Exact>, after: Option<&Exact>) -> bool {
    let (Some(before), Some(after)) = (before, after) else { return true };
    let most = Exact::ratio(HEAVIER, 1).expect("not over zero");
    *before <= after * &most && *after <= before * &most
}
