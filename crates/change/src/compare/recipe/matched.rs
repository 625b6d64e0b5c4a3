//! Which lines of two recipes belong together.

use std::collections::{BTreeMap, BTreeSet};

use chablon_model::{Line, Uses};
use chablon_quantity::Exact;

use super::renamed::Renamed;
use super::replaced::replaced;
use crate::matching::Pairing;
use crate::{Pair, sense};

/// The lines of two recipes by what belongs together.
pub(super) struct Matches {
    /// The lines of each side that belong together, by their places, in the order of the new
    /// side; what is gone comes last. No group is empty on both sides, and none has several lines
    /// on both.
    pub(super) groups: Vec<Pair<Vec<usize>>>,
    /// Whether lines that both sides have stand in another order.
    pub(super) reordered: bool,
}

/// Puts lines together: those that are the same; then those that take the same thing, where one
/// against several is a split or a merger; then those that stand in each other's place.
pub(super) fn matches(
    lines: Pair<&[Line]>,
    grams: Pair<&[Option<Exact>]>,
    renamed: &Renamed<'_>,
) -> Matches {
    let matcher = Matcher { lines, renamed };
    let (mut pairs, left) = matcher.same_lines();
    let mut several = Vec::new();
    let mut loose = Pair::new(Vec::new(), Vec::new());
    for group in matcher.by_uses(&left).into_values() {
        match (group.before.len(), group.after.len()) {
            (0, _) | (_, 0) => append(&mut loose, group),
            (1, 1) => pairs.push(Pair::new(group.before[0], group.after[0])),
            (1, _) | (_, 1) => several.push(group),
            _ => append(&mut loose, matcher.some_of_each(&group, &mut pairs)),
        }
    }
    let order: BTreeSet<(usize, usize)> = pairs.iter().map(|at| (at.before, at.after)).collect();
    let reordered = !order.iter().map(|(_, after)| after).is_sorted();
    pairs.extend(replaced(&pairs, &mut loose, lines, grams, renamed));
    let alone = loose.before.into_iter().map(|at| Pair::new(vec![at], Vec::new()));
    let new = loose.after.into_iter().map(|at| Pair::new(Vec::new(), vec![at]));
    let mut groups: Vec<Pair<Vec<usize>>> =
        pairs.into_iter().map(|pair| pair.map(|at| vec![at])).collect();
    groups.extend(several.into_iter().chain(new).chain(alone));
    groups.sort_by_key(|group| {
        (group.after.is_empty(), group.after.first().copied(), group.before.first().copied())
    });
    Matches { groups, reordered }
}

fn append(to: &mut Pair<Vec<usize>>, group: Pair<Vec<usize>>) {
    to.before.extend(group.before);
    to.after.extend(group.after);
}

struct Matcher<'a> {
    lines: Pair<&'a [Line]>,
    renamed: &'a Renamed<'a>,
}

impl<'a> Matcher<'a> {
    /// The lines that are the same, and the places of the others.
    fn same_lines(&self) -> (Vec<Pair<usize>>, Pair<Vec<usize>>) {
        let called = |line: &'a Line| self.renamed.step_of(line);
        let found = Pairing::of(self.lines)
            .by(
                |line| Some(sense::line(line, called(line))),
                |line| Some(sense::line(line, line.step.as_ref())),
            )
            .places();
        let alone = |of: fn(&Pair<Option<usize>>) -> Option<usize>| {
            found.iter().filter(|pair| pair.both().is_none()).filter_map(of).collect()
        };
        let left = Pair::new(alone(|pair| pair.before), alone(|pair| pair.after));
        (found.iter().filter_map(|pair| pair.both()).collect(), left)
    }

    /// The places that are left, by what the lines there take.
    fn by_uses(&self, left: &Pair<Vec<usize>>) -> BTreeMap<&'a Uses, Pair<Vec<usize>>> {
        let mut groups: BTreeMap<&Uses, Pair<Vec<usize>>> = BTreeMap::new();
        for &at in &left.before {
            groups.entry(&self.lines.before[at].uses).or_default().before.push(at);
        }
        for &at in &left.after {
            groups.entry(&self.lines.after[at].uses).or_default().after.push(at);
        }
        groups
    }

    /// Pairs several lines against several that take the same thing, those of one step first,
    /// and returns what is left.
    fn some_of_each(
        &self,
        group: &Pair<Vec<usize>>,
        pairs: &mut Vec<Pair<usize>>,
    ) -> Pair<Vec<usize>> {
        let before: Vec<&Line> = group.before.iter().map(|at| &self.lines.before[*at]).collect();
        let after: Vec<&Line> = group.after.iter().map(|at| &self.lines.after[*at]).collect();
        let found = Pairing::of(Pair::new(&before[..], &after))
            .by(|line| Some(self.renamed.step_of(line)), |line| Some(line.step.as_ref()))
            .by_key(|_| Some(()));
        let mut left = Pair::new(Vec::new(), Vec::new());
        for pair in found.places() {
            let at = Pair::new(
                pair.before.map(|at| group.before[at]),
                pair.after.map(|at| group.after[at]),
            );
            if let Some(both) = at.both() {
                pairs.push(both);
            } else {
                left.before.extend(at.before);
                left.after.extend(at.after);
            }
        }
        left
    }
}
