//! Lines: what is weighed.

use chablon_model::{Amount, Line};

use super::figures::Figures;
use super::matched::{Matches, matches};
use super::renamed::Renamed;
use crate::compare::sink::Sink;
use crate::{LineSetting, Listed, Pair, What, sense};

pub(super) fn compare(
    lines: Pair<&[Line]>,
    figures: Pair<&Figures>,
    renamed: &Renamed<'_>,
    sink: &mut Sink<'_>,
) {
    let grams = figures.map(|figures| &figures.grams[..]);
    let Matches { groups, reordered } = matches(lines, grams, renamed);
    for group in groups {
        let sides = Lines { lines, figures };
        match (&group.before[..], &group.after[..]) {
            ([before], [after]) => {
                let at = Pair::new(*before, *after);
                sink.add(sides.amount(at));
                sides.settings(at, renamed, sink);
            }
            _ => sink.add(sides.figured(&group)),
        }
    }
    let share = |line: &Line| matches!(line.amount, Amount::Share(_));
    let by_share = lines.before.iter().chain(lines.after).any(share);
    let base = figures.map(|figures| figures.base.clone()).both();
    let base = base.and_then(|base| Pair::changed(base.before, base.after));
    sink.add(base.filter(|_| by_share).map(What::Base));
    if reordered {
        sink.add(What::Order(Listed::Lines));
    }
}

/// The lines of both sides with their figures.
#[derive(Clone, Copy)]
struct Lines<'a> {
    lines: Pair<&'a [Line]>,
    figures: Pair<&'a Figures>,
}

impl Lines<'_> {
    fn figured(self, group: &Pair<Vec<usize>>) -> What {
        let Self { lines, figures } = self;
        let before = group.before.iter().map(|at| figures.before.line(lines.before, *at));
        let after = group.after.iter().map(|at| figures.after.line(lines.after, *at));
        What::Lines(Pair::new(before.collect(), after.collect()))
    }

    /// What a line takes and how much. A line by share that follows the base isn't named: the
    /// base is.
    fn amount(self, at: Pair<usize>) -> Option<What> {
        let (before, after) = (&self.lines.before[at.before], &self.lines.after[at.after]);
        let alike = before.uses == after.uses
            && sense::amount(&before.amount) == sense::amount(&after.amount);
        let grams =
            Pair::new(&self.figures.before.grams[at.before], &self.figures.after.grams[at.after]);
        let weighs = match (grams.before, grams.after) {
            (Some(before), Some(after)) => before != after,
            _ => false,
        };
        let follows = matches!(after.amount, Amount::Share(_));
        let changed = !alike || (weighs && !follows);
        changed.then(|| self.figured(&at.map(|at| vec![at])))
    }

    fn settings(self, at: Pair<usize>, renamed: &Renamed<'_>, sink: &mut Sink<'_>) {
        let (before, after) = (&self.lines.before[at.before], &self.lines.after[at.after]);
        let Line { uses: _, amount: _, base, scaling, tolerance, step } = after;
        let tolerances = Pair::new(before.tolerance, *tolerance);
        let settings = [
            Pair::changed(before.scaling, *scaling).map(LineSetting::Scaling),
            Pair::changed(before.base, *base).map(LineSetting::Base),
            (!sense::same(tolerances.before, tolerances.after))
                .then_some(LineSetting::Tolerance(tolerances)),
            (renamed.step_of(before) != step.as_ref())
                .then(|| LineSetting::Step(Pair::new(before.step.clone(), step.clone()))),
        ];
        for setting in settings.into_iter().flatten() {
            let number = at.map(|at| at + 1);
            let uses = Pair::new(before.uses.clone(), after.uses.clone());
            sink.add(What::LineSetting { uses, number, setting });
        }
    }
}
