//! Steps, their controls and the bounds of a batch.

use std::cmp::Ordering;

use chablon_model::{Control, RecipeId, SetPoint, StepId};

use crate::{Pair, sense};

/// A critical limit and where it stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Limit {
    /// The recipe whose step it is in.
    pub recipe: RecipeId,
    /// The step.
    pub step: StepId,
    /// The control. On one side of a change it may not be critical.
    pub control: Control,
}

/// Whether hands are busy.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Hands {
    /// They are.
    Busy,
    /// Nobody is needed.
    Free,
}

/// Which bound of a batch.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Bound {
    /// The most that is made at once.
    Max,
    /// The least that turns out well.
    Min,
}

/// Which way a limit goes.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Shift {
    /// It is gone, or critical no longer.
    Removed,
    /// It lets more pass.
    Loosened,
    /// It lets other things pass, or aims elsewhere.
    Moved,
    /// It lets less pass.
    Tightened,
    /// It is new, or critical now.
    Added,
}

impl Pair<Option<Box<Limit>>> {
    /// Which way the limit goes.
    pub fn shift(&self) -> Shift {
        let critical =
            |side: &Option<Box<Limit>>| side.as_ref().is_some_and(|l| l.control.critical);
        match (
            critical(&self.before),
            critical(&self.after),
            self.as_ref().map(Option::as_ref).both(),
        ) {
            (true, true, Some(limits)) => shift(limits.map(|limit| &limit.control)),
            (true, ..) => Shift::Removed,
            (false, ..) => Shift::Added,
        }
    }

    /// The limit on either side, the later one first.
    pub fn either(&self) -> Option<&Limit> {
        self.after.as_deref().or(self.before.as_deref())
    }
}

/// Which way the bounds of a control go.
fn shift(controls: Pair<&Control>) -> Shift {
    let Pair { before, after } = controls;
    let upper = bound(before.max.as_ref(), after.max.as_ref());
    let lower = bound(before.min.as_ref(), after.min.as_ref()).map(Ordering::reverse);
    match (lower, upper) {
        (Some(Ordering::Equal), Some(Ordering::Equal)) => Shift::Moved,
        (Some(Ordering::Equal | Ordering::Greater), Some(Ordering::Equal | Ordering::Greater)) => {
            Shift::Loosened
        }
        (Some(Ordering::Equal | Ordering::Less), Some(Ordering::Equal | Ordering::Less)) => {
            Shift::Tightened
        }
        _ => Shift::Moved,
    }
}

/// How an upper bound compares with the one before: greater where it lets more pass.
fn bound(before: Option<&SetPoint>, after: Option<&SetPoint>) -> Option<Ordering> {
    match (before, after) {
        (None, None) => Some(Ordering::Equal),
        (None, Some(_)) => Some(Ordering::Less),
        (Some(_), None) => Some(Ordering::Greater),
        (Some(before), Some(after)) => {
            sense::set_point(after).partial_cmp(&sense::set_point(before))
        }
    }
}
