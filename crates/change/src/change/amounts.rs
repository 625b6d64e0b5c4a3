//! Lines and what comes of them.

use chablon_model::{Line, Scaling, StepId};
use chablon_quantity::{Authored, Exact, ShareUnit};

use crate::{Pair, sense};

/// A line and its figures in one written batch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineFigure {
    /// Its number, from 1.
    pub number: usize,
    /// The line as written.
    pub line: Line,
    /// Grams, where they are known.
    pub grams: Option<Exact>,
    /// Its part of the batch's input, where that can be computed.
    pub of_batch: Option<Exact>,
    /// Its part of the base lines, where there are some.
    pub of_base: Option<Exact>,
}

/// What happened to lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum LinesChange {
    /// A line was added.
    Added,
    /// A line was removed.
    Removed,
    /// A line takes something else.
    Replaced,
    /// A line takes another amount.
    Amount,
    /// A line weighs otherwise for the same amount.
    Weighs,
    /// One line became several.
    Split,
    /// Several lines became one.
    Merged,
}

impl Pair<Vec<LineFigure>> {
    /// What happened to the lines.
    pub fn kind(&self) -> LinesChange {
        match (&self.before[..], &self.after[..]) {
            ([], _) => LinesChange::Added,
            (_, []) => LinesChange::Removed,
            ([before], [after]) if before.line.uses != after.line.uses => LinesChange::Replaced,
            ([before], [after])
                if sense::amount(&before.line.amount) == sense::amount(&after.line.amount) =>
            {
                LinesChange::Weighs
            }
            ([_], [_]) => LinesChange::Amount,
            ([_], _) => LinesChange::Split,
            _ => LinesChange::Merged,
        }
    }
}

/// How a line is taken.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LineSetting {
    /// How it follows the batch.
    Scaling(Pair<Scaling>),
    /// Whether it is in the 100 % of shares.
    Base(Pair<bool>),
    /// How far a weighed amount may be off.
    Tolerance(Pair<Option<Authored<ShareUnit>>>),
    /// The step that uses it.
    Step(Pair<Option<StepId>>),
}

/// What a written batch makes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Makes {
    /// Net grams.
    pub net: Exact,
    /// Net grams of a piece, where it yields pieces.
    pub each: Option<Exact>,
}
